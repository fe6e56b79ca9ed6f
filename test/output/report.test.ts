import { describe, expect, it } from 'vitest';
import { completeJob } from '../../src/settings/job.js';
import { reportJson, reportOn, type Reported } from '../../src/output/report/report.js';

const reported: Reported = {
  name: 'Heron "by the pond"',
  sheet: { widthMm: 101.6, heightMm: 101.6 },
  job: completeJob({ card: '4x4in', tool: 'craft-knife', level: 41.5 }),
  tone: { mode: 'edges', why: 'A face was found to vanish at one level.' },
  repeated: { motifs: 1 },
  likeness: { f: 0.81239, recall: 0.85551, precision: 0.77 },
  traced: { curves: 812 },
  eased: { curves: 301, corners: 17, deviationMm: 0.19876543 },
  widened: { islandsDropped: 3 },
  bridged: {
    islands: 2,
    islandsDropped: 1,
    islandsDear: 0,
    // An island that is nearest to the opening's left edge.
    shareChanged: 0.0123456,
    bridges: [
      {
        number: 1,
        from: { x: 10.12345, y: 20 },
        to: { x: 12.5, y: 20.00049 },
        widthMm: 2.4,
        origin: 'proposed',
      },
      {
        number: 2,
        from: { x: 1 / 3, y: 2 / 3 },
        to: { x: 5, y: 5 },
        widthMm: 2.4,
        origin: 'pinned',
      },
    ],
  },
  features: null,
  survival: {
    notable: true,
    parts: 9,
    dropped: 3,
    merged: 1,
    lost: [{ at: [12.3456, 7], areaMm2: 2.34567, fate: 'dropped' }],
  },
  advice: { enlargement: 1.6, crop: { box: '10,5,62.5,62.5', kept: 7 } },
  plan: {
    pieces: [
      {
        number: 1,
        opening: 0,
        size: 'middling',
        start: { x: 10.00049, y: 5 },
        middle: { x: 15, y: 8 },
        widthMm: 10,
        heightMm: 12,
        areaMm2: 123.45678,
        lengthMm: 45.6789,
        corners: 3,
        runs: [{ from: { x: 10, y: 5 }, to: { x: 30, y: 5 }, lengthMm: 20 }],
        minutes: 0.654321,
        keep: true,
      },
    ],
    cuttingMm: 45.6789,
    travelMm: 0,
    corners: 3,
    straightRuns: 1,
    thinPlaces: 0,
    thinInARow: 0,
    warmUpMinutes: 20,
    minutes: 20.654321,
    difficulty: { level: 'easy', because: ['1 piece, none smaller than a pea'] },
  },
  checked: {
    fidelity: 0.0123456,
    openings: [{ areaMm2: 123.45678, lengthMm: 45.6789 }],
    weakPlaces: [{ kind: 'sharp-corner', at: [12.34567, 8] }],
    findings: [
      {
        level: 'warning',
        code: 'weak-hold',
        message: 'A strip is thin here.',
        at: [1.23456, 7.891],
      },
      { level: 'note', code: 'left-out', message: 'Three specks were left out.' },
    ],
  },
};

const timingsMs = { read: 151.23456, tone: 20 };

const written = reportJson(reportOn(reported), timingsMs);

describe('reportJson', () => {
  const report = JSON.parse(written) as Record<string, unknown>;

  it('has what the output contract promises', () => {
    expect(report).toMatchObject({
      name: 'Heron "by the pond"',
      sheet: { widthMm: 101.6, heightMm: 101.6 },
      islands: 2,
      openings: [{ areaMm2: 123.46, lengthMm: 45.68 }],
      bridges: [
        { number: 1, from: [10.123, 20], to: [12.5, 20], widthMm: 2.4, origin: 'proposed' },
        { number: 2, from: [0.333, 0.667], to: [5, 5], widthMm: 2.4, origin: 'pinned' },
      ],
      findings: [
        { level: 'warning', code: 'weak-hold', message: 'A strip is thin here.', at: [1.23, 7.89] },
        { level: 'note', code: 'left-out', message: 'Three specks were left out.' },
      ],
      holds: {
        bridgesMm: 8.74,
        shareChanged: 0.01235,
        islandsCutAway: 4,
      },
      weakPlaces: [{ kind: 'sharp-corner', at: [12.35, 8] }],
      fidelity: 0.01235,
      plan: { minutes: 20.7, warmUpMinutes: 20, pieces: 1, masks: 1, cuttingMm: 45.68 },
      order: [
        { number: 1, opening: 0, start: [10, 5], areaMm2: 123.46, minutes: 0.65, mask: true },
      ],
      tone: { mode: 'edges', why: 'A face was found to vanish at one level.' },
      likeness: { f: 0.812, recall: 0.856, precision: 0.77 },
      ease: { curves: 301, tracedCurves: 812, deviationMm: 0.199, corners: 17 },
      timingsMs: { read: 151.2, tone: 20 },
    });
  });

  it('leaves out the place of a finding that has none', () => {
    expect((report.findings as object[])[1]).not.toHaveProperty('at');
  });

  it('holds the job as settings that can be used again, to the last digit', () => {
    expect(completeJob(report.job as Record<string, unknown>)).toEqual(reported.job);
  });

  it('ends with the times, which alone differ from run to run', () => {
    expect(Object.keys(report).at(-1)).toBe('timingsMs');
    const slower = reportJson(reportOn(reported), { read: 900, tone: 90 });
    const beforeTimes = (text: string): string => text.slice(0, text.indexOf('"timingsMs"'));
    expect(beforeTimes(slower)).toBe(beforeTimes(written));
  });

  it('gives each opening and bridge one line, for a person to read down', () => {
    const lines = written.split('\n');
    expect(lines.filter((line) => /^ {4}\{.*"areaMm2"/.test(line))).toHaveLength(2);
    expect(lines).toContain(
      '    {"number":1,"from":[10.123,20],"to":[12.5,20],"widthMm":2.4,"origin":"proposed"},',
    );
  });

  it('writes empty lists for a stencil without bridges or findings', () => {
    const told = reportOn({
      ...reported,
      bridged: { islands: 0, islandsDropped: 0, islandsDear: 0, shareChanged: 0, bridges: [] },
      checked: { fidelity: 0, openings: [], weakPlaces: [], findings: [] },
    });
    const plain = reportJson(told, timingsMs);
    expect(JSON.parse(plain)).toMatchObject({
      bridges: [],
      findings: [],
      openings: [],
      islands: 0,
    });
  });
});
