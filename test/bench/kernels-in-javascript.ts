/**
 * The kernels as the TypeScript that they would be if they were not compiled ahead: made from their AssemblyScript,
 * whose types become none, whose whole-number divisions are rounded, and whose loops over sixteen bytes at a time are
 * written out one by one.
 */
import { mkdirSync, readdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import ts from 'typescript';

/** Files that work on several numbers at a time throughout: the same functions one number at a time. */
const WRITTEN_APART: Readonly<Record<string, URL>> = {
  'convolution.ts': new URL('./convolution-in-javascript.ts', import.meta.url),
};

const ASSEMBLY = fileURLToPath(new URL('../../src/kernels/assembly/', import.meta.url));

/** What AssemblyScript has and JavaScript has not, for functions that take whole arrays of memory. */
const PRELUDE = `
const { min, max, abs, floor, ceil, sqrt } = Math;
const changetype = (value) => value;
const bytesOf = (array, bytes) => new Uint8Array(array.buffer, array.byteOffset, bytes);
const memory = {
  fill: (array, value, bytes) => bytesOf(array, bytes).fill(value),
  copy: (to, from, bytes) => bytesOf(to, bytes).set(bytesOf(from, bytes)),
};
`;

/** Files that are all about addresses and lanes. */
const WRITTEN: Readonly<Record<string, string>> = {
  'lanes.ts': `
export function nextOf(bytes, i, end, value) {
  while (i < end && bytes[i] !== value) i++;
  return i;
}
export function nextNotOf(bytes, i, end, value) {
  while (i < end && bytes[i] === value) i++;
  return i;
}
export const BYTES = 16;
export function addressOf() {}
export function sixteenFrom() {}
export function whichAre() {}`,
  'rows.ts': `
export function row(rows, length, k) {
  return rows.subarray(k * length, (k + 1) * length);
}`,
  'near-distance.ts': `
export const NEAR = 40;
export function nearSquaredDistance() {}`,
  'counts.ts': `
export function countSet(data, n) {
  let count = 0;
  for (let i = 0; i < n; i++) if (data[i] !== 0) count++;
  return count;
}
export function countDifferent(a, b, n) {
  let count = 0;
  for (let i = 0; i < n; i++) if (a[i] !== b[i]) count++;
  return count;
}
export function markBeyond(values, n, limit, out) {
  for (let i = 0; i < n; i++) out[i] = values[i] > limit ? 1 : 0;
}`,
};

/** Functions in the other files that work on several numbers at a time. */
const FUNCTIONS: Readonly<Record<string, string>> = {
  three: `
function three(mask, i) {
  return (mask[i] ? 1 : 0) | (mask[i + 1] ? 2 : 0) | (mask[i + 2] ? 4 : 0);
}`,
  classifyIn: `
function classifyIn(data, i, end, value, squared, thickFrom, mask, body, n) {
  for (; i < end; i++) {
    const isOf = data[i] === value;
    const isThin = isOf && squared[i] < thickFrom;
    mask[i] = isThin ? BODY : isOf ? ANCHOR : 0;
    if (isThin) body[n++] = i;
  }
  return n;
}`,
};

const ARRAYS: Readonly<Record<string, string>> = {
  bool: 'Uint8Array',
  u8: 'Uint8Array',
  u16: 'Uint16Array',
  i32: 'Int32Array',
  f32: 'Float32Array',
  f64: 'Float64Array',
};

/** Writes a JavaScript module for each file of the kernels' sources. */
export function writeInJavaScript(folder: string): void {
  mkdirSync(folder, { recursive: true });
  for (const file of readdirSync(ASSEMBLY)) {
    const apart = WRITTEN_APART[file];
    const text = apart
      ? transpiled(readFileSync(apart, 'utf8'))
      : (WRITTEN[file] ?? translated(readFileSync(join(ASSEMBLY, file), 'utf8')));
    writeFileSync(join(folder, file.replace(/\.ts$/, '.js')), text);
  }
}

/** By exported function of the kernels, the file that it stands in, without its ending. */
export function kernelFiles(): ReadonlyMap<string, string> {
  const source = parse(readFileSync(join(ASSEMBLY, 'index.ts'), 'utf8'));
  const found = new Map<string, string>();
  for (const node of source.statements) {
    if (!ts.isExportDeclaration(node) || !node.moduleSpecifier || !node.exportClause) continue;
    if (!ts.isNamedExports(node.exportClause)) continue;
    const file = (node.moduleSpecifier as ts.StringLiteral).text.slice(2);
    for (const { name } of node.exportClause.elements) {
      if (!/^[A-Z_]+$/.test(name.text)) found.set(name.text, file);
    }
  }
  return found;
}

function parse(text: string): ts.SourceFile {
  return ts.createSourceFile('kernel.ts', text, ts.ScriptTarget.Latest, true);
}

/** Whole numbers, reals, arrays of these (`[]` behind), or something else (''). */
type Kind = string;

function translated(text: string): string {
  const source = parse(text);
  const kinds = new Map<string, Kind>();
  const noteKinds = (node: ts.Node): void => {
    if (ts.isParameter(node) || ts.isVariableDeclaration(node)) {
      const kind = node.type ? kindOfType(node.type) : kindOf(node.initializer, kinds);
      // One name stands for one kind within a file, or for none that matters.
      const name = node.name.getText();
      kinds.set(name, !kinds.has(name) || kinds.get(name) === kind ? kind : 'mixed');
    }
    ts.forEachChild(node, noteKinds);
  };
  noteKinds(source);
  const replaced: string[] = [];
  const transform: ts.TransformerFactory<ts.SourceFile> = (context) => {
    const { factory } = context;
    const visit = (node: ts.Node): ts.Node | undefined => {
      if (ts.isDecorator(node)) return undefined;
      if (ts.isFunctionDeclaration(node) && node.name) {
        if (node.modifiers?.some(({ kind }) => kind === ts.SyntaxKind.DeclareKeyword)) {
          replaced.push(`export const ${node.name.text} = Math.${node.name.text};`);
          return undefined;
        }
        const written = FUNCTIONS[node.name.text];
        if (written !== undefined) {
          replaced.push(written);
          return undefined;
        }
      }
      if (ts.isIfStatement(node) && node.expression.getText() === 'beyond <= NEAR')
        return undefined;
      if (ts.isTypeAssertionExpression(node)) {
        return cast(factory, kindOfType(node.type), visit(node.expression) as ts.Expression);
      }
      if (ts.isCallExpression(node) && /^(i32|u8|f64)$/.test(node.expression.getText())) {
        const given = visit(node.arguments[0]) as ts.Expression;
        return cast(factory, node.expression.getText(), given);
      }
      if (ts.isNewExpression(node) && node.expression.getText() === 'StaticArray') {
        const array = ARRAYS[node.typeArguments![0].getText()];
        const length = visit(node.arguments![0]) as ts.Expression;
        return factory.createNewExpression(factory.createIdentifier(array), undefined, [length]);
      }
      if (
        ts.isBinaryExpression(node) &&
        node.operatorToken.kind === ts.SyntaxKind.SlashToken &&
        kindOf(node, kinds) === 'i32'
      ) {
        return cast(factory, 'i32', ts.visitEachChild(node, visit, context));
      }
      if (ts.isStringLiteral(node) && ts.isImportDeclaration(node.parent)) {
        return factory.createStringLiteral(`${node.text}.js`);
      }
      return ts.visitEachChild(node, visit, context);
    };
    return (file) => ts.visitEachChild(file, visit, context);
  };
  const { transformed } = ts.transform(source, [transform]);
  const printed = ts.createPrinter().printFile(transformed[0]);
  return `${PRELUDE}${transpiled(printed)}${replaced.join('\n')}\n`;
}

/** TypeScript without its types. */
const transpiled = (text: string): string =>
  ts.transpileModule(text, {
    compilerOptions: { target: ts.ScriptTarget.ES2022, module: ts.ModuleKind.ESNext },
  }).outputText;

/** A value turned into one of another kind, as AssemblyScript does it. */
function cast(factory: ts.NodeFactory, kind: Kind, value: ts.Expression): ts.Expression {
  const inner = factory.createParenthesizedExpression(value);
  const bits = (operator: ts.BinaryOperator, mask: number): ts.Expression =>
    factory.createParenthesizedExpression(
      factory.createBinaryExpression(inner, operator, factory.createNumericLiteral(mask)),
    );
  switch (kind) {
    case 'i32':
      return bits(ts.SyntaxKind.BarToken, 0);
    case 'u8':
      return bits(ts.SyntaxKind.AmpersandToken, 0xff);
    case 'u16':
      return bits(ts.SyntaxKind.AmpersandToken, 0xffff);
    case 'f32':
      return factory.createCallExpression(factory.createIdentifier('Math.fround'), undefined, [
        value,
      ]);
    default:
      return inner;
  }
}

function kindOfType(type: ts.TypeNode): Kind {
  const text = type.getText();
  const element = /^StaticArray<(\w+)>$/.exec(text)?.[1];
  return element ? `${element}[]` : text;
}

/** Of what kind an expression is: exact enough to tell a division of whole numbers from one of reals. */
function kindOf(node: ts.Expression | undefined, kinds: ReadonlyMap<string, Kind>): Kind {
  if (!node) return '';
  if (ts.isParenthesizedExpression(node)) return kindOf(node.expression, kinds);
  if (ts.isPrefixUnaryExpression(node)) return kindOf(node.operand, kinds);
  if (ts.isTypeAssertionExpression(node)) return kindOfType(node.type);
  if (ts.isNumericLiteral(node)) return /[.e]/.test(node.getText()) ? 'f64' : 'i32';
  if (ts.isIdentifier(node)) return kinds.get(node.text) ?? '';
  if (ts.isElementAccessExpression(node)) {
    const kind = kindOf(node.expression, kinds).replace(/\[\]$/, '');
    return kind === 'u8' || kind === 'u16' ? 'i32' : kind;
  }
  if (ts.isBinaryExpression(node)) {
    const sides = [kindOf(node.left, kinds), kindOf(node.right, kinds)];
    return sides.every((side) => side === 'i32') ? 'i32' : 'f64';
  }
  return 'f64';
}
