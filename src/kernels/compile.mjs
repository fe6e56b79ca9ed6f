/** Compiles `assembly/` to WebAssembly and writes it to `code.ts`: `npm run kernels`, after a change to a kernel. */
import { writeFile } from 'node:fs/promises';
import { fileURLToPath } from 'node:url';
import asc from 'assemblyscript/asc';

const at = (path) => fileURLToPath(new URL(path, import.meta.url));

/** The kernels take arrays laid out by the caller and check no bounds; nothing in them takes memory while they run. */
const OPTIONS = [
  '-O3',
  '--enable',
  'simd',
  '--noAssert',
  '--uncheckedBehavior',
  'always',
  '--runtime',
  'stub',
  '--use',
  'abort=',
];

/** What `code.ts` holds when it is up to date. */
export async function compiled() {
  let binary = new Uint8Array();
  const { error, stderr } = await asc.main(
    ['index.ts', '--baseDir', at('assembly'), ...OPTIONS, '--outFile', 'kernels.wasm'],
    { writeFile: (_, contents) => void (binary = contents) },
  );
  if (error)
    throw new Error(`The kernels can't be compiled: ${stderr.toString()}`, { cause: error });
  const text = Buffer.from(binary).toString('base64');
  return `/** Made by compile.mjs from assembly/: WebAssembly in base64. */\nexport const code =\n  '${text}';\n`;
}

if (process.argv[1] === fileURLToPath(import.meta.url))
  await writeFile(at('code.ts'), await compiled());
