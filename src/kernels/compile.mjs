/* global WebAssembly */
/**
 * Compiles `assembly/` to WebAssembly, and writes it to `code.ts` and a typed function for each kernel to
 * `generated.ts`: `npm run kernels`, after a change to a kernel.
 */
import { readFile, writeFile } from 'node:fs/promises';
import { fileURLToPath } from 'node:url';
import asc from 'assemblyscript/asc';
import { format } from 'oxfmt';
import ts from 'typescript';

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

/** The sources take seconds to compile: once is enough for what is asked here. */
let compiling;
const binary = () => (compiling ??= compileSources());

async function compileSources() {
  let made = new Uint8Array();
  const { error, stderr } = await asc.main(
    ['index.ts', '--baseDir', at('assembly'), ...OPTIONS, '--outFile', 'kernels.wasm'],
    { writeFile: (_, contents) => void (made = contents) },
  );
  if (error)
    throw new Error(`The kernels can't be compiled: ${stderr.toString()}`, { cause: error });
  return made;
}

/** What `code.ts` holds when it is up to date. */
export async function compiled() {
  const text = Buffer.from(await binary()).toString('base64');
  return `/** Made by compile.mjs from assembly/: WebAssembly in base64. */\nexport const code =\n  '${text}';\n`;
}

/** What a type of a kernel's source is to its callers. */
const TYPES = {
  i32: 'number',
  f64: 'number',
  void: 'void',
  'StaticArray<u8>': 'Uint8Array',
  'StaticArray<u16>': 'Uint16Array',
  'StaticArray<i32>': 'Int32Array',
  'StaticArray<f32>': 'Float32Array',
  'StaticArray<f64>': 'Float64Array',
};

/** What `generated.ts` holds when it is up to date. */
export async function wrappers() {
  const index = await parsed('index.ts');
  const exported = index.statements.flatMap(({ moduleSpecifier, exportClause }) =>
    exportClause.elements.map(({ name }) => ({ name: name.text, file: moduleSpecifier.text })),
  );
  const files = new Map();
  for (const { file } of exported) files.set(file, await parsed(`${file}.ts`));
  const { exports } = await WebAssembly.instantiate(await WebAssembly.compile(await binary()), {
    math: Math,
  });
  const parts = exported.map(({ name, file }) => wrapper(name, files.get(file), exports));
  const text = [
    '/** Made by compile.mjs from assembly/: each kernel with the types of its source. */',
    "import { call } from './memory.js';",
    '',
    ...parts,
  ].join('\n');
  const style = JSON.parse(await readFile(new URL('../../.oxfmtrc.json', import.meta.url), 'utf8'));
  const { code, errors } = await format('generated.ts', text, style);
  if (errors.length > 0)
    throw new Error(`What is generated is no TypeScript: ${errors[0].message}`);
  return code;
}

async function parsed(file) {
  const text = await readFile(at(`assembly/${file}`), 'utf8');
  return ts.createSourceFile(file, text, ts.ScriptTarget.Latest, true);
}

/** The typed function, or the constant's value, that stands for what a source exports under a name. */
function wrapper(name, source, exports) {
  for (const node of source.statements) {
    if (ts.isFunctionDeclaration(node) && node.name.text === name) {
      return `${descriptionOf(node)}\n${typedFunction(node, source)}\n`;
    }
    const isOf = ts.isVariableStatement(node) ? node.declarationList.declarations[0].name.text : '';
    if (isOf === name) {
      return `${descriptionOf(node)}\nexport const ${name} = ${exports[name].value};\n`;
    }
  }
  throw new Error(`${source.fileName} has no ${name}`);
}

function typedFunction(node, source) {
  const name = node.name.text;
  const typeOf = (type) => {
    const known = TYPES[type.getText(source)];
    if (!known) throw new Error(`${name} takes or returns ${type.getText(source)}: no caller can`);
    return known;
  };
  const names = node.parameters.map((parameter) => parameter.name.text);
  const given = node.parameters.map(({ type }, k) => `${names[k]}: ${typeOf(type)}`);
  const result = typeOf(node.type);
  const run = `call('${name}', { ${names.join(', ')} })`;
  return `export function ${name}(${given.join(', ')}): ${result} { ${result === 'void' ? '' : 'return '}${run}; }`;
}

function descriptionOf(node) {
  return (node.jsDoc ?? []).map((text) => text.getText()).join('\n');
}

if (process.argv[1] === fileURLToPath(import.meta.url)) {
  await writeFile(at('code.ts'), await compiled());
  await writeFile(at('generated.ts'), await wrappers());
}
