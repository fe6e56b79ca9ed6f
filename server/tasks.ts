import type {
  FontGiven,
  Advised,
  Job,
  LayersLook,
  LayersJob,
  OutputName,
  Rectification,
  Screen,
  SheetsJob,
  PictureLook,
  Sketch,
  TypefaceSample,
  WordsShown,
  WordsWish,
} from '../src/index.js';
import type { ProblemWords } from './trouble.js';

/** A picture as the threads know it; its bytes are shared memory, so that handing them over costs nothing. */
export interface Handed {
  readonly id: string;
  readonly bytes: Uint8Array;
}

/** Set to 1 when an answer is wanted no more; a thread looks at it before each stage. */
export type StopFlag = Int32Array;

export const newStopFlag = (): StopFlag =>
  new Int32Array(new SharedArrayBuffer(Int32Array.BYTES_PER_ELEMENT));

/** What each purpose keeps its own stages for, so that one does not undo another's. */
export type Purpose = 'exact' | 'quick' | 'contact';

/** What is tried out before anyone asks: all of it once, or a look or a sketch at a level. */
export type WarmUp = 'all' | { readonly purpose: Purpose; readonly level: number };

/** What a thread can be asked to do, and what it answers. */
export interface Tasks {
  readonly show: {
    readonly task: {
      /** A picture that is to be kept, or the bytes of one that is not. */
      readonly picture: Handed | Pick<Handed, 'bytes'>;
      readonly longest: number;
      readonly mostPixels: number;
      /** How the picture is rectified; left as it is unless set. */
      readonly rectification?: Rectification;
    };
    readonly answer: PictureLook;
  };
  readonly page: {
    readonly task: { readonly picture: Pick<Handed, 'bytes'> };
    readonly answer: string | null;
  };
  readonly layers: {
    readonly task: {
      readonly picture: Handed;
      readonly job: Job;
      readonly layers: LayersJob;
      readonly name: string;
      readonly file: string;
      readonly locale: string | undefined;
      /** None where they are only to be looked at. */
      readonly outputs: readonly OutputName[];
    };
    readonly answer: {
      readonly told: LayersLook;
      readonly files: ReadonlyMap<string, string | Uint8Array>;
    };
  };
  readonly sketch: {
    readonly task: {
      readonly picture: Handed;
      readonly purpose: Purpose;
      readonly job: Job;
      readonly stop: StopFlag;
    };
    readonly answer: Sketch;
  };
  readonly stencil: {
    readonly task: { readonly picture: Handed; readonly job: Job; readonly stop: StopFlag };
    readonly answer: Screen;
  };
  readonly advice: {
    readonly task: { readonly picture: Handed; readonly job: Job; readonly stop: StopFlag };
    readonly answer: Advised;
  };
  readonly files: {
    readonly task: {
      readonly picture: Handed;
      readonly job: Job;
      readonly name: string;
      /** The picture file's own name. */
      readonly file: string;
      readonly locale: string | undefined;
      readonly outputs: readonly OutputName[];
    };
    readonly answer: ReadonlyMap<string, string | Uint8Array>;
  };
  readonly words: {
    readonly task: { readonly wish: WordsWish; readonly job: Job; readonly stop: StopFlag };
    readonly answer: WordsShown;
  };
  readonly wordsFiles: {
    readonly task: {
      readonly wish: WordsWish;
      readonly job: Job;
      readonly name: string;
      readonly locale: string | undefined;
      readonly outputs: readonly OutputName[];
    };
    readonly answer: ReadonlyMap<string, string | Uint8Array>;
  };
  readonly wordsLayers: {
    readonly task: {
      readonly wish: WordsWish;
      readonly job: Job;
      readonly sheets: SheetsJob;
      readonly name: string;
      readonly locale: string | undefined;
      /** None where they are only to be looked at. */
      readonly outputs: readonly OutputName[];
    };
    readonly answer: Tasks['layers']['answer'];
  };
  readonly typefaces: {
    readonly task: {
      readonly words: readonly string[];
      readonly job: Job;
      readonly font: FontGiven | undefined;
    };
    readonly answer: readonly TypefaceSample[];
  };
  readonly forget: { readonly task: { readonly id: string }; readonly answer: null };
  readonly warm: {
    readonly task: { readonly bytes: Uint8Array; readonly how: WarmUp; readonly stop: StopFlag };
    readonly answer: null;
  };
}

export type WorkName = keyof Tasks;

/** A task with its kind, as it goes to a thread. */
export type Task = { [N in WorkName]: { readonly kind: N } & Tasks[N]['task'] }[WorkName];

/** What comes back from a thread: errors lose their kind on the way, so those that are meant are told as data. */
export type TaskReply<N extends WorkName> =
  | { readonly done: Tasks[N]['answer'] }
  | { readonly told: ProblemWords }
  | { readonly stopped: true };
