import { readdirSync } from 'node:fs';
import sharp from 'sharp';
const dir='/tmp/held2/k/usr/share/kphotoalbum/demo';
const files=readdirSync(dir).filter(f=>/\.(gif|png|jpg)$/.test(f));
const cell=300; const cols=6; const comps=[];
let k=0;
for(const f of files){ try{
 const m=await sharp(`${dir}/${f}`).metadata();
 const b=await sharp(`${dir}/${f}`).flatten({background:'#ddd'}).resize(cell-6,cell-22,{fit:'contain',background:'#fff'}).png().toBuffer();
 comps.push({input:b,left:(k%cols)*cell,top:Math.floor(k/cols)*cell});
 const t=Buffer.from(`<svg width="${cell}" height="16"><text x="2" y="12" font-size="11">${f} ${m.width}x${m.height}</text></svg>`);
 comps.push({input:t,left:(k%cols)*cell,top:Math.floor(k/cols)*cell+cell-20}); k++;
}catch(e){} }
await sharp({create:{width:cols*cell,height:Math.ceil(k/cols)*cell,channels:3,background:'#fff'}}).composite(comps).png().toFile('/tmp/kpa.png');
