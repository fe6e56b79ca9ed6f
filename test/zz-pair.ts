import { readdirSync, existsSync } from 'node:fs';
import sharp from 'sharp';
// zz-pair out.png filter dirA dirB : photo | print A | print B
const [out, filter, ...dirs] = process.argv.slice(2);
const files = readdirSync(dirs[0]).filter(f=>new RegExp(filter).test(f)).sort();
const h=460; const comps=[]; let y=0; let W=0;
for(const f of files){ let x=0;
 for(const [k,d] of dirs.entries()){ if(!existsSync(`${d}/${f}`)) continue;
  const m=await sharp(`${d}/${f}`).metadata(); const half=m.width!/2;
  for(const part of k===0?[0,1]:[1]){
   const b=await sharp(`${d}/${f}`).extract({left:part*half,top:0,width:half,height:m.height!}).resize({height:h}).png().toBuffer();
   const mm=await sharp(b).metadata(); comps.push({input:b,left:x,top:y}); x+=mm.width!+6; }
 }
 comps.push({input:Buffer.from(`<svg width="600" height="18"><rect width="600" height="18" fill="#fff"/><text x="2" y="14" font-size="13">${f}</text></svg>`),left:0,top:y});
 W=Math.max(W,x); y+=h+8;
}
await sharp({create:{width:W,height:y,channels:3,background:'#c33'}}).composite(comps).png().toFile(out);
