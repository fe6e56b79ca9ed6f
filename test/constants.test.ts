import { readdirSync, readFileSync } from 'node:fs';
import ts from 'typescript';
import { describe, expect, it } from 'vitest';

/** What is made from the kernels' sources, whose own comments tell of its numbers. */
const LEFT_OUT = /^src\/kernels\/generated\.ts/;

const files = ['src', 'server', 'cli']
  .flatMap((room) =>
    readdirSync(room, { recursive: true }).map((name) => `${room}/${String(name)}`),
  )
  .filter((file) => /\.tsx?$/.test(file) && !LEFT_OUT.test(file));

describe('a number that code goes by says its unit and why it is so large', () => {
  it('in every file', () => {
    expect(files.length).toBeGreaterThan(250);
    expect(files.flatMap((file) => uncommented(file, readFileSync(file, 'utf8')))).toEqual([]);
  });

  it.each([
    ['alone', 'const MOST = 3;', ['MOST']],
    ['negative, worked out, of several', 'const A = -1;\n\nconst B = (2 * Math.PI) / 3;\n\nconst C = [1, 2] as const;', ['A', 'B', 'C']], // prettier-ignore
    ['exported', 'export const MOST_MM = 2 * 3;', ['MOST_MM']],
    ['taken apart', 'const [FREE, TAKEN] = [0, 1];', ['FREE,TAKEN']],
    ['under a comment further up', '/** Of the file. */\n\nconst MOST = 3;', ['MOST']],
    ['under a run that has none', "const A = 'a';\nconst B = 2;", ['B']],
    ['under a comment', '/** In mm. */\nconst MOST = 3;', []],
    ['under a line of comment', '// In mm.\nconst MOST = 3;', []],
    [
      'in a run under a comment',
      "/** Of a card, and of a page. In mm. */\nconst A = 1;\nconst NAME = 'a';\nconst B = 2;",
      [],
    ],
    ['in a run whose comment tells of fewer', '/** In mm. */\nconst A = 1;\nconst B = 2;', ['B']],
    [
      'in a run under a comment on each',
      '/** In mm, and in px. */\nconst A = 1;\nconst B = 2;',
      [],
    ],
    ['with comments in a run', '/** In mm. */\nconst A = 1;\n/** In px. */\nconst B = 2;', []],
    ['in no number', "const NAME = 'a';\n\nconst made = 3;\n\nconst NAMES = ['a'];", []],
  ])('%s', (_, code, found) => {
    expect(uncommented('made-up.ts', code).map((told) => told.split(' ')[1])).toEqual(found);
  });
});

/** Numbers with a fractional part that need no name: a half. */
const PLAIN = new Set([0.5]);

/** Kernels stay as they were compiled and measured: a new name changes their code, if not what it works out. Four such numbers. */
const KERNELS = /^src\/kernels\/assembly\//;

/** A drawing in miniature, whose places say nothing one by one; what it shows stands above it. */
const DRAWN = new Set(['src/output/pdf/plan.ts drawSign']);

describe('a number with a fractional part has a name where code goes by it', () => {
  it('in every function of the library', () => {
    const library = files.filter((file) => file.startsWith('src/') && !KERNELS.test(file));
    expect(library.flatMap((file) => unnamed(file, readFileSync(file, 'utf8')))).toEqual([]);
  });

  it('and what is let through is there', () => {
    for (const drawn of DRAWN) {
      const [file, name] = drawn.split(' ');
      expect(readFileSync(file, 'utf8')).toContain(`function ${name}(`);
    }
  });

  it.each([
    ['a function', 'function f(x: number) { return x < 0.3; }', ['0.3']],
    ['one in another', 'const f = () => { const g = () => 1e-6; return g; };', ['1e-6']],
    ['a method', 'class A { b() { return -2.5; } }', ['2.5']],
    ['a default', 'function f(mm = 0.02) { return mm; }', ['0.02']],
    ['a name of its own, small', 'function f() { const slack = 0.9; return slack; }', ['0.9']],
    ['a half', 'function f(x: number) { return x + 0.5; }', []],
    ['whole ones', 'function f(x: number) { return 3 * x + 1e6 - 1.0; }', []],
    ['text', "function f() { return '0.3'; }", []],
    ['none', 'const MOST = 0.3;', []],
  ])('%s', (_, code, found) => {
    expect(unnamed('made-up.ts', code).map((told) => told.split(' ')[1])).toEqual(found);
  });
});

/** The literals with a fractional part inside functions, but for those that are let through. */
function unnamed(file: string, code: string): string[] {
  const source = ts.createSourceFile(file, code, ts.ScriptTarget.Latest, true);
  const found: string[] = [];
  const look = (node: ts.Node, isInside: boolean): void => {
    if (ts.isFunctionDeclaration(node) && DRAWN.has(`${file} ${node.name?.text}`)) return;
    if (isInside && ts.isNumericLiteral(node)) {
      const value = Number(node.text);
      const line = source.getLineAndCharacterOfPosition(node.getStart()).line;
      if (!Number.isInteger(value) && !PLAIN.has(value))
        found.push(`${file}:${line + 1} ${node.getText()}`);
    }
    node.forEachChild((child) => look(child, isInside || ts.isFunctionLike(node)));
  };
  look(source, false);
  return found;
}

/**
 * The constants of numbers at a file's top level that stand under no comment, nor in a run of lines under one that has a part
 * for each of them.
 */
function uncommented(file: string, code: string): string[] {
  const source = ts.createSourceFile(file, code, ts.ScriptTarget.Latest);
  const lineOf = (at: number): number => source.getLineAndCharacterOfPosition(at).line;
  let [toldOf, end] = [0, -2];
  return source.statements.flatMap((statement) => {
    const line = lineOf(statement.getStart(source));
    const above = ts.getLeadingCommentRanges(code, statement.pos)?.at(-1);
    const inRun = lineOf(statement.pos) === end && line === end + 1;
    const constants = constantsOf(statement);
    if (above && lineOf(above.end) === line - 1) toldOf = partsOf(code.slice(above.pos, above.end));
    else if (constants.length === 0 || !inRun) toldOf = 0;
    end = constants.length > 0 ? lineOf(statement.end) : -2;
    return constants
      .filter(({ initializer }) => initializer && isNumber(initializer) && toldOf-- <= 0)
      .map(({ name }) => `${file}:${line + 1} ${nameOf(name)}`);
  });
}

/** Into how many parts a comment falls, by its stops, its commas and its "and": it tells of no more constants. */
const partsOf = (comment: string): number =>
  comment.split(/[,;:]|\band\b|\bor\b/).filter((part) => /\w/.test(part)).length;

/** The constants in capitals that a statement gives names to. */
function constantsOf(statement: ts.Statement): readonly ts.VariableDeclaration[] {
  if (!ts.isVariableStatement(statement)) return [];
  if ((statement.declarationList.flags & ts.NodeFlags.Const) === 0) return [];
  return statement.declarationList.declarations.filter(({ name }) =>
    /^[A-Z][A-Z0-9_,]*$/.test(nameOf(name)),
  );
}

function nameOf(name: ts.BindingName): string {
  if (ts.isIdentifier(name)) return name.text;
  return name.elements
    .map((element) => (ts.isBindingElement(element) ? nameOf(element.name) : ''))
    .join();
}

/** A number, what is worked out from some, or a list of them. */
function isNumber(value: ts.Expression): boolean {
  if (ts.isNumericLiteral(value)) return true;
  if (ts.isPrefixUnaryExpression(value)) return isNumber(value.operand);
  if (ts.isParenthesizedExpression(value) || ts.isAsExpression(value))
    return isNumber(value.expression);
  if (ts.isBinaryExpression(value)) return isNumber(value.left) || isNumber(value.right);
  if (ts.isArrayLiteralExpression(value))
    return value.elements.length > 0 && value.elements.every(isNumber);
  return false;
}
