import { isDeepStrictEqual } from 'node:util';
import type { Job, SettingName } from '../settings/job.js';

/** The values that go through the stages, by the name of the stage that makes each; `source` is what goes in. */
export interface RunnerValues {
  readonly source: unknown;
}

/** The names of the stages. */
export type StageName<V extends RunnerValues> = Exclude<keyof V & string, 'source'>;

/** One step: which values and which settings it reads, and the function that makes its own value from them. */
export interface Stage<V extends RunnerValues> {
  readonly name: StageName<V>;
  readonly from: readonly (keyof V)[];
  readonly reads: readonly SettingName[];
  /** Loads the stage's code. Called once, early, so that it can overlap with the work of an earlier stage. */
  readonly load: () => Promise<(values: V, job: Job) => V[StageName<V>] | Promise<V[StageName<V>]>>;
}

/** Describes a stage; its function sees no value and no setting but those that it names. */
export function describeStage<V extends RunnerValues>() {
  return <
    N extends StageName<V>,
    const F extends readonly (keyof V)[],
    const S extends readonly SettingName[],
  >(
    name: N,
    from: F,
    reads: S,
    load: () => Promise<
      (values: Pick<V, F[number]>, job: Pick<Job, S[number]>) => V[N] | Promise<V[N]>
    >,
  ): Stage<V> => ({ name, from, reads, load });
}

/** What a run gives back. */
export interface Ran<V extends RunnerValues> {
  readonly values: V;
  /** Milliseconds that each stage took when it last ran; the first one's hold the loading of the others' code. */
  readonly timingsMs: Readonly<Record<StageName<V>, number>>;
  /** The stages that ran this time, in order; the others' values are still good from before. */
  readonly ran: readonly StageName<V>[];
}

/** What goes along with a run. */
interface Alongside<V extends RunnerValues> {
  /** Told when a stage begins: its name, its place from 0, and how many there are. What it throws ends the run. */
  readonly onStage?: (name: StageName<V>, place: number, count: number) => void;
  /** Work that begins as soon as the values that it is made from are there, beside the stages that follow. */
  readonly beside?: {
    readonly from: readonly StageName<V>[];
    readonly begin: (values: V) => void;
  };
}

/** Stages in a row that keep their last values. */
export interface IncrementalRunner<V extends RunnerValues> {
  /**
   * Runs the stages whose inputs (by identity) or settings (by value) have changed since the last run.
   * A `source` that is a path is taken to name the same picture as long as the runner lives.
   */
  run(source: V['source'], job: Job, alongside?: Alongside<V>): Promise<Ran<V>>;
  /**
   * The same, with those stages only that the wanted ones are made from, and themselves. The others have no value,
   * and keep what they made before.
   */
  runFor<N extends StageName<V>>(
    wanted: readonly N[],
    source: V['source'],
    job: Job,
    alongside?: Alongside<V>,
  ): Promise<Pick<V, N>>;
}

interface CachedValue {
  readonly inputs: readonly unknown[];
  readonly settings: readonly unknown[];
  readonly value: unknown;
  readonly ms: number;
}

/** Makes a runner of stages; each one may read the source and what stands before it. */
export function createRunner<V extends RunnerValues>(
  stages: readonly Stage<V>[],
): IncrementalRunner<V> {
  const kept = new Map<StageName<V>, CachedValue>();
  const loads = new Map<StageName<V>, ReturnType<Stage<V>['load']>>();

  const loaded = (stage: Stage<V>): ReturnType<Stage<V>['load']> => {
    const load = loads.get(stage.name) ?? stage.load();
    loads.set(stage.name, load);
    return load;
  };

  const go = async (
    row: readonly Stage<V>[],
    source: V['source'],
    job: Job,
    { onStage, beside }: Alongside<V> = {},
  ): Promise<Ran<V>> => {
    const values: Record<PropertyKey, unknown> = { source };
    const ran: StageName<V>[] = [];
    for (const [place, stage] of row.entries()) {
      const inputs = stage.from.map((name) => values[name]);
      const settings = stage.reads.map((name) => job[name]);
      let step = kept.get(stage.name);
      if (!step || !same(step.inputs, inputs) || !isDeepStrictEqual(step.settings, settings)) {
        onStage?.(stage.name, place, row.length);
        const start = performance.now();
        const run = await loaded(stage);
        const working = run(pick(values, stage.from) as V, pick(job, stage.reads) as Job);
        // A load that fails is told when its stage comes.
        if (ran.length === 0) void Promise.allSettled(row.slice(place + 1).map(loaded));
        const value = await working;
        step = { inputs, settings, value, ms: performance.now() - start };
        kept.set(stage.name, step);
        ran.push(stage.name);
      }
      values[stage.name] = step.value;
      if (beside && isLastOf(beside.from, stage.name, values))
        beside.begin(pick(values, beside.from) as V);
    }
    const timings = stages.map(({ name }) => [name, kept.get(name)?.ms ?? 0]);
    return {
      values: values as unknown as V,
      timingsMs: Object.fromEntries(timings) as Record<StageName<V>, number>,
      ran,
    };
  };

  return {
    run: (source, job, alongside) => go(stages, source, job, alongside),
    runFor: async (wanted, source, job, alongside) =>
      (await go(neededFor(stages, wanted), source, job, alongside)).values,
  };
}

/** The stages that some are made from, and themselves, in order. */
export function neededFor<V extends RunnerValues>(
  stages: readonly Stage<V>[],
  wanted: readonly StageName<V>[],
): readonly Stage<V>[] {
  const needed = new Set<keyof V>(wanted);
  return stages
    .toReversed()
    .filter(({ name, from }) => {
      if (needed.has(name)) for (const input of from) needed.add(input);
      return needed.has(name);
    })
    .toReversed();
}

/** Whether a value that has just come is the last one that something waited for. */
function isLastOf(
  wanted: readonly string[],
  come: string,
  values: Readonly<Record<PropertyKey, unknown>>,
): boolean {
  return wanted.includes(come) && wanted.every((name) => name in values);
}

function same(before: readonly unknown[], now: readonly unknown[]): boolean {
  return before.length === now.length && before.every((value, i) => Object.is(value, now[i]));
}

function pick(from: object, names: readonly PropertyKey[]): object {
  return Object.fromEntries(
    names.map((name) => [name, (from as Record<PropertyKey, unknown>)[name]]),
  );
}
