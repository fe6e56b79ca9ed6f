import {
  completeJob,
  createPipeline,
  filesOfLayers,
  makeLayers,
  showLayers,
  showPage,
  createSketchPipeline,
  makeStencil,
  makeWordLayers,
  makeWords,
  pictureGiven,
  Problem,
  provenanceOfWords,
  showPicture,
  showSketch,
  showStencil,
  showWords,
  stagesToAdvise,
  stagesToRank,
  stagesToShow,
  stagesToSketch,
  tellAdvice,
  typefaceSamples,
  type LayersMade,
  type OutputName,
  type Pipeline,
} from '../src/index.js';
import type { TaskReply, Handed, Purpose, StopFlag, Task, Tasks, WorkName } from './tasks.js';
import { toldOf } from './trouble.js';

/** Pictures whose stages a thread keeps; those of a large sheet take some 60 MB. */
const MOST_KEPT = 4;

/** A picture's pipelines, one for each purpose that was asked for. */
interface PictureSession {
  readonly bytes: Map<Purpose, Uint8Array>;
  readonly pipelines: Map<Purpose, Pipeline>;
}

/** By picture, the one used last at the end. */
const sessions = new Map<string, PictureSession>();

/** Thrown out of a run whose answer is wanted no more. */
class Stopped extends Error {}

const workers: {
  readonly [N in WorkName]: (task: Tasks[N]['task']) => Promise<Tasks[N]['answer']>;
} = {
  show({ picture, longest, mostPixels, rectification }) {
    // The stencil is made from the same bytes then, which a HEIC that was decoded once is known by.
    const { bytes } = 'id' in picture ? sessionOf(picture, 'exact') : picture;
    return showPicture(bytes, longest, mostPixels, rectification);
  },

  page: ({ picture }) => showPage(picture.bytes),

  async layers({ picture, job, layers, name, file, locale, outputs }) {
    const { bytes } = sessionOf(picture, 'exact');
    const of = { ...pictureGiven(bytes, file), made: 'layers' } as const;
    const about = { name, of, outputs, ...(locale !== undefined && { locale }) };
    return layersAnswer(await makeLayers(bytes, job, layers, about), outputs);
  },

  async sketch({ picture, purpose, job, stop }) {
    const { bytes, pipeline } = sessionOf(picture, purpose);
    // Levels go from dark to light; what finds its own level is ranked.
    const isRanked = purpose === 'contact' && job.tone !== 'level';
    const stages = isRanked ? stagesToRank : stagesToSketch;
    return showSketch(
      await pipeline.runFor(stages, bytes, job, { onStage: unlessStopped(stop) }),
      job,
    );
  },

  async stencil({ picture, job, stop }) {
    const { bytes, pipeline } = sessionOf(picture, 'exact');
    return showStencil(
      await pipeline.runFor(stagesToShow, bytes, job, { onStage: unlessStopped(stop) }),
      job,
    );
  },

  async advice({ picture, job, stop }) {
    const { bytes, pipeline } = sessionOf(picture, 'exact');
    return tellAdvice(
      await pipeline.runFor(stagesToAdvise, bytes, job, { onStage: unlessStopped(stop) }),
    );
  },

  async files({ picture, job, name, file, locale, outputs }) {
    const { bytes, pipeline } = sessionOf(picture, 'exact');
    const of = pictureGiven(bytes, file);
    const about = { name, of, outputs, pipeline, ...(locale !== undefined && { locale }) };
    return (await makeStencil(bytes, job, about)).files;
  },

  words({ wish, job, stop }) {
    return showWords(wish, job, unlessStopped(stop));
  },

  async wordsFiles({ wish, job, name, locale, outputs }) {
    const of = await provenanceOfWords(wish);
    const about = { name, of, outputs, ...(locale !== undefined && { locale }) };
    return (await makeWords(wish, job, about)).files;
  },

  async wordsLayers({ wish, job, sheets, name, locale, outputs }) {
    const about = { name, outputs, ...(locale !== undefined && { locale }) };
    return layersAnswer(await makeWordLayers(wish, sheets, job, about), outputs);
  },

  typefaces({ words, job, font }) {
    return typefaceSamples(words, job, font);
  },

  forget({ id }) {
    sessions.delete(id);
    return Promise.resolve(null);
  },

  // What the engine has compiled by then makes the first picture of a person quick.
  async warm({ bytes, how, stop }) {
    const onStage = unlessStopped(stop);
    if (how === 'all') {
      await showPicture(bytes, 400, Infinity);
      const made = await makeStencil(bytes, completeJob({}), { name: 'warm', onStage });
      await showStencil(made.run.values, made.job);
    } else {
      await tryOut(how.purpose, bytes, how.level, onStage);
    }
    return null;
  },
};

/** Layers as a screen shows them, and their files where they are wanted. */
async function layersAnswer(
  made: LayersMade,
  outputs: readonly OutputName[],
): Promise<Tasks['layers']['answer']> {
  const files = outputs.length === 0 ? [] : await filesOfLayers(made);
  return {
    told: await showLayers(made),
    files: new Map(files.map(({ name: path, bytes: content }) => [path, content])),
  };
}

/** Does one task. What a person may be told comes back as data; all else is thrown. */
export async function work({ kind, ...task }: Task): Promise<TaskReply<WorkName>> {
  const act = workers[kind] as (task: object) => Promise<Tasks[WorkName]['answer']>;
  try {
    return { done: await act(task) };
  } catch (error) {
    if (error instanceof Stopped) return { stopped: true };
    if (error instanceof Problem) return { told: toldOf(error) };
    throw error;
  }
}

/** Pixels a mm of the sketches that warm a thread up: between the coarsest and the finest that the page asks for. */
const SKETCH_PX_PER_MM = 3;

async function tryOut(
  purpose: Purpose,
  bytes: Uint8Array,
  level: number,
  onStage: () => void,
): Promise<void> {
  const pipeline = pipelineFor(purpose);
  const exact = { tone: 'level', level } as const;
  if (purpose === 'exact') {
    const job = completeJob(exact);
    await showStencil(await pipeline.runFor(stagesToShow, bytes, job, { onStage }), job);
  } else {
    const job = completeJob({ ...exact, fineness: SKETCH_PX_PER_MM });
    await showSketch(await pipeline.runFor(stagesToSketch, bytes, job, { onStage }), job);
  }
}

function unlessStopped(stop: StopFlag): () => void {
  return () => {
    if (Atomics.load(stop, 0) === 1) throw new Stopped();
  };
}

/** A picture's pipeline for a purpose, and its bytes as that pipeline knows them. */
function sessionOf(
  { id, bytes }: Handed,
  purpose: Purpose,
): { readonly bytes: Uint8Array; readonly pipeline: Pipeline } {
  const session: PictureSession = sessions.get(id) ?? { bytes: new Map(), pipelines: new Map() };
  sessions.delete(id);
  sessions.set(id, session);
  const [oldest] = sessions.keys();
  if (sessions.size > MOST_KEPT && oldest !== undefined) sessions.delete(oldest);
  // A pipeline tells a picture by identity, and each message brings the same memory in a new view.
  const known = session.bytes.get(purpose) ?? bytes;
  const pipeline = session.pipelines.get(purpose) ?? pipelineFor(purpose);
  session.bytes.set(purpose, known);
  session.pipelines.set(purpose, pipeline);
  return { bytes: known, pipeline };
}

function pipelineFor(purpose: Purpose): Pipeline {
  return purpose === 'exact' ? createPipeline() : createSketchPipeline();
}
