import { spawn } from 'node:child_process';
import { mkdirSync, readdirSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { Pace } from '../../cli/pace.js';
import { usualOutputs } from '../../src/index.js';
import { ring } from './pictures.js';
import { command, said, scratch, stencilwright } from './run.js';

async function folderOf(count: number): Promise<string> {
  const folder = scratch();
  mkdirSync(join(folder, 'in'));
  for (let i = 1; i <= count; i++) await ring(join(folder, 'in', `${i}.png`), 200 + i);
  return folder;
}

const CARD = ['--card', '40x40mm', '--margin', '4', '--fineness', '4'];

describe('batch', () => {
  it('says what became of each picture, and ends with 0 when all are good', async () => {
    const cwd = await folderOf(2);
    const ended = stencilwright(['batch', 'in', ...CARD], { cwd });
    expect(ended).toMatchObject({ status: 0, stderr: '' });
    expect(ended.stdout.split('\n').sort()).toEqual([
      '',
      '2 pictures: 2 good.',
      'Summary: stencils/summary.csv, stencils/summary.html',
      expect.stringMatching(/^✓ 1\.png {2}\d pieces?, \d bridges?, 0\.1 m of cutting$/),
      expect.stringMatching(/^✓ 2\.png {2}\d pieces?, \d bridges?, 0\.1 m of cutting$/),
    ]);
    expect(readdirSync(join(cwd, 'stencils')).sort()).toEqual(
      ['1', '2', 'summary.csv', 'summary.html'].sort(),
    );
    expect((await said(['batch', 'in', ...CARD], { cwd })).stdout).toContain(
      '2 pictures: 2 good, 2 of them as before.',
    );
  });

  it('ends with 1 when a picture fails, with 2 when none is made', async () => {
    const cwd = await folderOf(1);
    writeFileSync(join(cwd, 'in/no.jpg'), 'x');
    const some = await said(['batch', 'in', '--json', '--threads', '1', ...CARD], { cwd });
    expect(some.status).toBe(1);
    const rows = some.stdout
      .trim()
      .split('\n')
      .map((line) => JSON.parse(line) as { picture: string; status: number });
    expect(rows.map(({ picture, status }) => `${picture} ${status}`)).toEqual([
      '1.png 0',
      'no.jpg 2',
    ]);
    mkdirSync(join(cwd, 'bad'));
    writeFileSync(join(cwd, 'bad/no.jpg'), 'x');
    const none = await said(['batch', 'bad'], { cwd });
    expect(none.status).toBe(2);
    expect(none.stdout).toContain('✗ no.jpg  This is not a picture that can be read. Give a JPEG');
  });

  it.each<[string, string[], RegExp]>([
    ['no folder', [], /^✗ No folder is named \(on the command line\)\. Name one folder/],
    ['two folders', ['in', 'on'], /^✗ Several folders are named: in, on/],
    ['a folder that is not there', ['on'], /^✗ There is no such folder \(on\)\./],
    ['half a thread', ['in', '--threads', '0.5'], /^✗ --threads can't be "0.5"/],
    ['a setting that is out of range', ['in', '--margin', '1'], /^✗ --margin can't be 1/],
    ['settings that contradict', ['in', '--margin', '60'], /^✗ A margin of 60 mm on each side/],
  ])('refuses %s in words, and writes nothing', async (_, words, says) => {
    const cwd = await folderOf(1);
    const { status, stdout, stderr } = await said(['batch', ...words], { cwd });
    expect(stderr).toMatch(says);
    expect({ status, stdout }).toEqual({ status: 2, stdout: '' });
    expect(readdirSync(cwd)).toEqual(['in']);
  });

  it('stops on Ctrl-C with nothing half-written, and goes on where it was', async () => {
    const cwd = await folderOf(12);
    const running = spawn(process.execPath, [...command, 'batch', 'in', ...CARD], { cwd });
    let told = '';
    running.stdout.on('data', (text: Buffer) => {
      told += String(text);
      // Two lines may come at once.
      if (told.split('\n').length >= 4 && !running.killed) running.kill('SIGINT');
    });
    const by = await new Promise((resolve) =>
      running.once('close', (status, signal) => resolve(signal ?? status)),
    );
    expect(by).toBe('SIGINT');
    expect(told).toMatch(/\nStopped with \d+ of 12 pictures done\. Give the same command again/);
    const there = readdirSync(join(cwd, 'stencils'));
    expect(there.every((name) => /^\d+$/.test(name))).toBe(true);
    for (const name of there) {
      expect(readdirSync(join(cwd, 'stencils', name))).toHaveLength(usualOutputs.length);
    }
    const { stdout } = await said(['batch', 'in', ...CARD], { cwd });
    expect(stdout).toContain(`12 pictures: 12 good, ${there.length} of them as before.`);
  });
});

describe('the pace', () => {
  it('counts what is done, and reckons with what was made', () => {
    let now = 0;
    const pace = new Pace(40, () => now);
    expect(pace.line()).toBe('0 of 40 pictures …');
    for (let i = 0; i < 10; i++) pace.count(true);
    expect(pace.line()).toBe('10 of 40 pictures …');
    now = 10_000;
    for (let i = 0; i < 20; i++) pace.count(false);
    expect(pace.line()).toBe('30 of 40 pictures, 120 a minute, 5 s left');
  });

  it.each([
    [20_000, 40, '3.0 a minute, 13 min 0 s left'],
    [240_000, 40, '0.3 a minute, 2 h 36 min left'],
  ])('after %i ms for one of %i says %s', (ms, total, words) => {
    let now = 0;
    const pace = new Pace(total, () => now);
    now = ms;
    pace.count(false);
    expect(pace.line()).toContain(words);
  });
});
