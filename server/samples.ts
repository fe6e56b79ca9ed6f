import { existsSync } from 'node:fs';
import { readFile } from 'node:fs/promises';
import { fileURLToPath } from 'node:url';
import { Refusal } from './trouble.js';

/** A picture that comes with the project, to begin with. */
export interface Sample {
  readonly name: string;
  readonly file: string;
  readonly title: string;
}

export const samples: readonly Sample[] = [
  { name: 'nana', file: 'nana.jpg', title: 'A portrait' },
  { name: 'hen', file: 'hen.jpg', title: 'A hen' },
  { name: 'boathouse-sketch', file: 'boathouse-sketch.jpg', title: 'A pen sketch' },
  { name: 'moth', file: 'moth.png', title: 'A moth' },
  { name: 'fern-border', file: 'fern-border.svg', title: 'A border of ferns' },
];

/** @throws Refusal 404 when there is no such sample */
export function sampleOf(name: string): Sample {
  const sample = samples.find((each) => each.name === name);
  if (sample) return sample;
  throw new Refusal(404, 'There is no such sample', 'sample', 'Choose one of those on the page');
}

/** The file's bytes, from the list above only. */
export function readSample({ file }: Sample): Promise<Uint8Array> {
  return readFile(pathOf(file));
}

/** Beside `server`, or beside `dist` when this is the built program. */
function pathOf(file: string): string {
  const paths = ['../samples/', '../../samples/'].map((folder) =>
    fileURLToPath(new URL(`${folder}${file}`, import.meta.url)),
  );
  return paths.find((path) => existsSync(path)) ?? paths[0];
}
