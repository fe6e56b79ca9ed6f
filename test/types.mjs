/**
 * The programs of the compiler: one of all sources, and one of the page, which runs in a browser. Both are loaded once,
 * and serve the check of the types and then the lint, whose rules ask for the same types. Plain JavaScript.
 */
import { mkdirSync } from 'node:fs';
import { join } from 'node:path';
import ts from 'typescript';
import { home } from './install.mjs';

const PAGE = join(home, 'server/page/');
const CACHE = join(home, 'node_modules/.cache/tsc');

/** Whether a file is looked at as what a browser loads. */
export const isOfPage = (file) => file.startsWith(PAGE);

/** Loads both programs; of all sources, what has not changed, and rests on nothing that has, is not checked again. */
export function loadPrograms() {
  mkdirSync(CACHE, { recursive: true });
  const all = configured('tsconfig.json', {
    incremental: true,
    tsBuildInfoFile: join(CACHE, 'all.tsbuildinfo'),
  });
  const page = configured('server/page/tsconfig.json', {});
  return {
    all: ts.createIncrementalProgram({
      ...all,
      host: ts.createIncrementalCompilerHost(all.options),
    }),
    page: ts.createProgram(page),
  };
}

/** What the compiler finds wrong, as it prints it: nothing where all is well. */
export function wrongTypes({ all, page }) {
  const found = [
    ...wrongWith(all),
    ...all.getSemanticDiagnostics(),
    ...wrongWith(page),
    // The sources that the page shares with the rest are checked with the rest.
    ...page
      .getSourceFiles()
      .filter(({ fileName }) => isOfPage(fileName))
      .flatMap((file) => page.getSemanticDiagnostics(file)),
  ];
  all.emit(); // With noEmit that is what is known, for the next time.
  return ts.formatDiagnostics(ts.sortAndDeduplicateDiagnostics(found), {
    getCurrentDirectory: () => home,
    getCanonicalFileName: (name) => name,
    getNewLine: () => '\n',
  });
}

function wrongWith(program) {
  return [
    ...program.getConfigFileParsingDiagnostics(),
    ...program.getOptionsDiagnostics(),
    ...program.getSyntacticDiagnostics(),
    ...program.getGlobalDiagnostics(),
  ];
}

function configured(file, more) {
  const host = {
    ...ts.sys,
    onUnRecoverableConfigFileDiagnostic({ messageText }) {
      throw new Error(`${file}: ${ts.flattenDiagnosticMessageText(messageText, '\n')}`);
    },
  };
  const { fileNames, options, errors } = ts.getParsedCommandLineOfConfigFile(
    join(home, file),
    { noEmit: true, ...more },
    host,
  );
  return { rootNames: fileNames, options, configFileParsingDiagnostics: errors };
}
