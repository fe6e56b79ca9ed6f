import { describe, expect, it } from 'vitest';
import { createRunner, describeStage, type Stage } from '../../src/pipeline/incremental-runner.js';
import { completeJob } from '../../src/settings/job.js';

interface Values {
  readonly source: string;
  readonly read: { readonly text: string };
  readonly tone: { readonly text: string };
  readonly widen: { readonly text: string };
  readonly check: { readonly text: string };
}

const stage = describeStage<Values>();
const wait = () => new Promise((done) => setTimeout(done, 1));

/** A row of stages that write down what they read; `check` looks back past `widen`. */
function row(events: string[] = []): Stage<Values>[] {
  const loading = (name: string) => events.push(`load ${name}`);
  return [
    stage('read', ['source'], ['card'], async () => {
      loading('read');
      await wait();
      return async ({ source }, job) => {
        events.push('run read');
        await wait();
        return { text: `${source} on ${job.card}` };
      };
    }),
    stage('tone', ['read'], ['tone', 'level'], () => {
      loading('tone');
      return Promise.resolve(({ read }, job) => {
        events.push('run tone');
        return { text: `${read.text}, ${job.tone} ${job.level}` };
      });
    }),
    stage('widen', ['tone'], ['narrowestStrip'], () => {
      loading('widen');
      return Promise.resolve(({ tone }, job) => ({
        text: `${tone.text}, wide ${job.narrowestStrip}`,
      }));
    }),
    stage('check', ['read', 'widen'], [], () =>
      Promise.resolve(({ read, widen }) => ({ text: `${read.text.length}: ${widen.text}` })),
    ),
  ];
}

describe('flow', () => {
  it('runs every stage once, in order, on what it names', async () => {
    const { values, ran, timingsMs } = await createRunner(row()).run('nana', completeJob({}));
    expect(ran).toEqual(['read', 'tone', 'widen', 'check']);
    expect(values.check.text).toBe('13: nana on 4x4in, best 50, wide 1.6');
    expect(Object.keys(timingsMs)).toEqual(ran);
    for (const ms of Object.values(timingsMs)) expect(ms).toBeGreaterThanOrEqual(0);
  });

  it('runs again only from the first stage whose input or settings changed', async () => {
    const flow = createRunner(row());
    await flow.run('nana', completeJob({}));
    expect((await flow.run('nana', completeJob({}))).ran).toEqual([]);
    expect((await flow.run('nana', completeJob({ paint: '#ff0000' }))).ran).toEqual([]);
    expect((await flow.run('nana', completeJob({ narrowestStrip: 2 }))).ran).toEqual([
      'widen',
      'check',
    ]);
    expect((await flow.run('nana', completeJob({ level: 40, narrowestStrip: 2 }))).ran).toEqual([
      'tone',
      'widen',
      'check',
    ]);
    expect((await flow.run('moth', completeJob({ level: 40, narrowestStrip: 2 }))).ran).toEqual([
      'read',
      'tone',
      'widen',
      'check',
    ]);
  });

  it('runs for what is wanted only the stages that it is made from', async () => {
    const flow = createRunner(row());
    const begun: string[] = [];
    const note = { onStage: (name: string) => void begun.push(name) };
    const wanted = await flow.runFor(['tone'], 'nana', completeJob({}), note);
    expect(Object.keys(wanted)).toEqual(['source', 'read', 'tone']);
    expect(begun).toEqual(['read', 'tone']);
    const stages = row();
    stages[3] = stage('check', ['read'], [], () => Promise.resolve(({ read }) => read));
    const { check } = await createRunner(stages).runFor(['check'], 'nana', completeJob({}), note);
    expect(begun).toEqual(['read', 'tone', 'read', 'check']);
    expect(check.text).toBe('nana on 4x4in');
    expect((await flow.run('nana', completeJob({}))).ran).toEqual(['widen', 'check']);
  });

  it('gives after a change what a new flow gives', async () => {
    const flow = createRunner(row());
    for (const given of [{}, { card: 'a6' }, { level: 30 }, { card: 'a6', level: 30 }]) {
      const job = completeJob(given);
      const again = await flow.run('nana', job);
      const anew = await createRunner(row()).run('nana', job);
      expect(again.values).toEqual(anew.values);
    }
  });

  it('lets a stage see nothing that it does not name', async () => {
    const seen: unknown[] = [];
    const stages = [
      stage('read', ['source'], ['card'], () =>
        Promise.resolve((values, job) => {
          seen.push(Object.keys(values), Object.keys(job));
          return { text: '' };
        }),
      ),
    ];
    await createRunner<Values>(stages).run('nana', completeJob({}));
    expect(seen).toEqual([['source'], ['card']]);
  });

  it('loads the later stages while the first one works, and each only once', async () => {
    const events: string[] = [];
    const flow = createRunner(row(events));
    await flow.run('nana', completeJob({}));
    expect(events).toEqual(['load read', 'run read', 'load tone', 'load widen', 'run tone']);
    await flow.run('moth', completeJob({}));
    expect(events.filter((event) => event.startsWith('load'))).toHaveLength(3);
  });

  it('tells when each stage begins', async () => {
    const told: unknown[] = [];
    await createRunner(row()).run('nana', completeJob({}), {
      onStage: (name, place, count) => void told.push([name, place, count]),
    });
    expect(told).toEqual([
      ['read', 0, 4],
      ['tone', 1, 4],
      ['widen', 2, 4],
      ['check', 3, 4],
    ]);
  });

  it('begins what goes on beside as soon as its values are there, once, and with those only', async () => {
    const events: string[] = [];
    const runner = createRunner(row());
    const alongside = {
      onStage: (name: string) => void events.push(name),
      beside: {
        from: ['tone', 'read'] as const,
        begin: (values: object) => void events.push(`beside ${Object.keys(values).join(' ')}`),
      },
    };
    await runner.run('nana', completeJob({}), alongside);
    expect(events).toEqual(['read', 'tone', 'beside tone read', 'widen', 'check']);
    await runner.run('nana', completeJob({}), alongside);
    expect(events.slice(5)).toEqual(['beside tone read']);
  });

  it('passes on what a stage or its loading throws, and starts again there the next time', async () => {
    let broken = true;
    const stages = row();
    stages[1] = stage('tone', ['read'], [], () =>
      Promise.resolve(({ read }) => {
        if (broken) throw new RangeError('no tone');
        return read;
      }),
    );
    const flow = createRunner(stages);
    await expect(flow.run('nana', completeJob({}))).rejects.toThrow('no tone');
    broken = false;
    expect((await flow.run('nana', completeJob({}))).ran).toEqual(['tone', 'widen', 'check']);
    stages[3] = stage('check', ['widen'], [], () => Promise.reject(new Error('not installed')));
    await expect(createRunner(stages).run('nana', completeJob({}))).rejects.toThrow(
      'not installed',
    );
  });
});
