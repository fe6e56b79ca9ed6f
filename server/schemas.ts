import {
  layerSettings,
  letteringSettings,
  sheetSettings,
  outputNames,
  settings,
  typefaceKinds,
  type Setting,
} from '../src/index.js';

/** What is said of JSON here: a schema (JSON Schema, draft 7). */
type Schema = Readonly<Record<string, unknown>>;

/** UTF-16 units: several times as long as any text that a setting takes or a sample is named by. */
const MOST_TEXT = 200;
/** Edits of a kind, as many as `src/settings/edits.ts` takes: far more than a person makes by hand. */
const MOST_EDITS = 10_000;

const object = (properties: Readonly<Record<string, Schema>>, required: readonly string[]) => ({
  type: 'object',
  additionalProperties: false,
  required,
  properties,
});

const all = (properties: Readonly<Record<string, Schema>>) =>
  object(properties, Object.keys(properties));

const number = { type: 'number' } as const;
const string = { type: 'string' } as const;
const array = (items: Schema) => ({ type: 'array', items });

/** A value of a setting, as `src/settings/job.ts` describes it; null leaves it unset. */
function valueSchema(setting: Setting): Schema {
  const description = setting.says;
  switch (setting.kind) {
    case 'number': {
      const { min: minimum, max: maximum } = setting;
      return { type: 'number', nullable: true, minimum, maximum, description };
    }
    case 'choice':
      return { type: 'string', nullable: true, enum: [...setting.choices, null], description };
    case 'switch':
      return { type: 'boolean', nullable: true, description };
    case 'text':
      return { type: 'string', nullable: true, maxLength: MOST_TEXT, description };
    case 'data':
      return { type: 'array', nullable: true, maxItems: MOST_EDITS, description };
  }
}

/** The settings that a person gave: those of `src/settings/job.ts` and no others. */
const job = object(
  Object.fromEntries(
    Object.entries(settings).map(([name, setting]) => [name, valueSchema(setting)]),
  ),
  [],
);

const told = all({ what: string, where: string, remedy: string });

const pictureParams = all({ id: { type: 'string', pattern: '^[0-9a-f]{32}$' } });

const picture = all({
  id: string,
  name: string,
  width: number,
  height: number,
  format: string,
});

const point = all({ x: number, y: number });

const sketchParts = {
  sheet: all({ widthMm: number, heightMm: number }),
  pictureBox: all({ x: number, y: number, width: number, height: number }),
  pixelsPerMm: number,
  tone: all({ mode: string, why: string }),
  openings: string,
  loose: string,
  looseCount: number,
  pieces: number,
  cutMm: number,
  strokes: string,
  strokeCount: number,
  glueMm: number,
  glueLines: array(object({ along: array(array(number)), drawnBy: number }, ['along'])),
  joins: array(object({ from: point, to: point, movedBy: number }, ['from', 'to'])),
  bridges: array({
    type: 'object',
    additionalProperties: true,
    properties: { from: point, to: point, widthMm: number },
  }),
} as const;

/** Of a folded sheet alone. */
const packet = object(
  {
    box: all({ x: number, y: number, width: number, height: number }),
    outline: string,
    folds: string,
    cuts: array(string),
    copies: array(string),
    place: array(number),
  },
  ['box', 'outline', 'folds', 'cuts', 'copies'],
);

const findings = array(
  object({ level: string, code: string, message: string, at: array(number) }, [
    'level',
    'code',
    'message',
  ]),
);

const screenParts = {
  ...sketchParts,
  histogram: array(number),
  tonePng: string,
  widenPng: string,
  eased: string,
  islands: string,
  islandCount: number,
  fidelity: number,
  minutes: number,
  warmUpMinutes: number,
  difficulty: string,
  findings,
  lost: array(all({ at: array(number), areaMm2: number, fate: string })),
  faces: array(array(number)),
  adviceDue: { type: 'boolean' },
  job: { type: 'object', additionalProperties: true },
} as const;

const screen = object({ ...screenParts, packet, subjectPng: string }, Object.keys(screenParts));

/** What may go wrong, with every route. */
const troubles = { '4xx': told, '5xx': told };

/** What can be taken away: the outputs of `make`, the job as a settings file, and the usual outputs in one archive. */
const takeaways = [...outputNames, 'job', 'all'] as const;

export type DownloadKindAsked = (typeof takeaways)[number];

/** The largest body of JSON, in bytes: ten thousand edits of two hundred bytes each. */
export const JSON_BYTES = 2 << 20;

/** Lines of words that are typed: far more than any sheet has room for. What is too much of them, the library says. */
const lines = { type: 'array', maxItems: 5000, items: { type: 'string', maxLength: 20_000 } };

/** Where a letter stands. */
const letters = {
  type: 'array',
  maxItems: MOST_EDITS,
  items: all({ text: string, line: number, x: number, y: number, angle: number, scale: number }),
};

/** Words that are typed, and how they are to be cut: by a typeface that is built in, beside a picture that is held here. */
const words = object(
  {
    lines,
    set: object(
      Object.fromEntries(
        Object.entries(letteringSettings)
          .filter(([name]) => name !== 'picture')
          .map(([name, setting]) => [
            name,
            name === 'face' ? { type: 'string', enum: [...typefaceKinds] } : valueSchema(setting),
          ]),
      ),
      [],
    ),
    before: letters,
    picture: pictureParams.properties.id,
    font: pictureParams.properties.id,
  },
  ['lines', 'set'],
);

/** A typeface with some words in it. */
const typeface = object(
  {
    kind: string,
    name: string,
    says: string,
    least: number,
    letters: string,
    bridges: array(all({ from: point, to: point, widthMm: number })),
    widthMm: number,
    heightMm: number,
  },
  ['kind', 'name', 'says'],
);

/** How layers of paint are wanted. */
const layers = object(
  Object.fromEntries(
    Object.entries(layerSettings).map(([name, setting]) => [name, valueSchema(setting)]),
  ),
  [],
);

const layerTold = {
  openings: string,
  paint: string,
  pieces: number,
  bridges: number,
  cuttingMinutes: number,
  good: { type: 'boolean' },
} as const;

const layersTold = all({
  sheet: all({ widthMm: number, heightMm: number }),
  layers: array(object({ ...layerTold, level: number }, Object.keys(layerTold))),
});

/** How the sheets of words are wanted. */
const sheets = object(
  Object.fromEntries(
    Object.entries(sheetSettings).map(([name, setting]) => [name, valueSchema(setting)]),
  ),
  [],
);

/** Pictures that are taken away together: as many as the server keeps. */
const MOST_IN_FOLDER = 64;

/** One for each route: what may come in, and what goes out. */
export const schemas = {
  page: { response: { ...troubles } },
  samples: { response: { 200: array(all({ name: string, title: string })), ...troubles } },
  sampleImage: {
    params: all({ name: { type: 'string', maxLength: MOST_TEXT } }),
    response: { ...troubles },
  },
  sample: {
    params: all({ name: { type: 'string', maxLength: MOST_TEXT } }),
    response: { 201: picture, ...troubles },
  },
  upload: {
    querystring: all({ name: { type: 'string', maxLength: 1000 } }),
    response: { 201: picture, ...troubles },
  },
  font: {
    querystring: all({ name: { type: 'string', maxLength: 1000 } }),
    response: { 201: all({ id: string, file: string }), ...troubles },
  },
  picture: { params: pictureParams, response: { 200: picture, ...troubles } },
  remove: { params: pictureParams, response: { 204: { type: 'null' }, ...troubles } },
  copy: {
    params: pictureParams,
    // How the picture is rectified, as the settings have it.
    querystring: object(
      {
        pictureTurn: { type: 'string', enum: [...settings.pictureTurn.choices] },
        straighten: { type: 'string', pattern: '^-?[0-9]{1,2}(\\.[0-9]{1,3})?$' },
        page: { type: 'string', maxLength: MOST_TEXT },
      },
      [],
    ),
    response: { ...troubles },
  },
  paper: {
    params: pictureParams,
    response: { 200: all({ page: { type: 'string', nullable: true } }), ...troubles },
  },
  layers: {
    params: pictureParams,
    body: all({ job, layers }),
    response: { 200: layersTold, ...troubles },
  },
  layersFiles: {
    params: pictureParams,
    body: all({ job, layers }),
    response: { ...troubles },
  },
  folder: {
    body: all({
      pictures: {
        type: 'array',
        minItems: 1,
        maxItems: MOST_IN_FOLDER,
        items: object({ id: pictureParams.properties.id, job, layers }, ['id', 'job']),
      },
    }),
    response: { ...troubles },
  },
  sketch: {
    params: pictureParams,
    body: object(
      {
        job,
        view: { type: 'string', pattern: '^[a-z]{1,10}(-[0-9]{1,2})?$' },
        contact: { type: 'boolean' },
      },
      ['job', 'view'],
    ),
    response: {
      200: object({ ...sketchParts, packet, likeness: number }, Object.keys(sketchParts)),
      ...troubles,
    },
  },
  stencil: {
    params: pictureParams,
    body: object({ job }, ['job']),
    response: { 200: screen, ...troubles },
  },
  advice: {
    params: pictureParams,
    body: object({ job }, ['job']),
    response: {
      200: all({
        findings,
        closerCrop: { type: 'string', nullable: true },
        facesCrop: { type: 'string', nullable: true },
      }),
      ...troubles,
    },
  },
  words: {
    body: all({ words, job, view: { type: 'string', pattern: '^[a-z0-9]{1,40}$' } }),
    response: {
      200: object({ ...screenParts, packet, letters }, [...Object.keys(screenParts), 'letters']),
      ...troubles,
    },
  },
  typefaces: {
    body: object({ lines, job, font: pictureParams.properties.id }, ['lines', 'job']),
    response: { 200: array(typeface), ...troubles },
  },
  wordsFiles: {
    params: all({ which: { type: 'string', enum: [...takeaways] } }),
    body: object({ words, job, sheets }, ['words', 'job']),
    response: { ...troubles },
  },
  wordsLayers: {
    body: all({ words, job, sheets }),
    response: { 200: layersTold, ...troubles },
  },
  files: {
    params: object(
      { id: pictureParams.properties.id, which: { type: 'string', enum: [...takeaways] } },
      ['id', 'which'],
    ),
    body: object({ job }, ['job']),
    response: { ...troubles },
  },
} as const;
