import type { Advised, LayersLook, Sketch } from '../../../src/index.js';
import type { PictureInfo, ScreenTold } from '../api.js';
import { begin, type History } from '../history.js';
import type { LayersInput } from '../layers-input.js';
import type { Setup } from '../setup.js';
import type { PageJob } from '../typed.js';
import type { ErrorMessage } from './error-message.js';

/** Why there is no result of the present settings. */
interface Failure extends ErrorMessage {
  /** The server: it does not answer. The settings: no stencil can be made of them. */
  readonly by: 'server' | 'settings';
}

/** The page of a sketchbook that was found in a photo. */
interface PageSeen {
  /** The picture's id. */
  readonly of: string;
  /** As the setting `page` has them. */
  readonly corners: string;
}

/** One of several pictures that were given together. */
export interface TrayPicture {
  readonly key: number;
  readonly name: string;
  readonly file: File;
  /** Once the server has it. */
  readonly info?: PictureInfo;
  /** Its own settings, once it has been looked at. */
  readonly steps?: History<Setup>;
}

/** Several pictures that were given together, and are gone through one by one. */
export interface Tray {
  readonly pictures: readonly TrayPicture[];
  /** The place of the one that is shown. */
  readonly shown: number;
  /** Whether what is set for one is set for all. */
  readonly isShared: boolean;
}

/** All that the page shows follows from this. */
export interface PageState {
  readonly picture: PictureInfo | undefined;
  /** The name of a picture that is being read. */
  readonly opening: string | undefined;
  readonly history: History<PageJob>;
  /** How layers of paint are wanted; undefined for one stencil. */
  readonly layers: LayersInput | undefined;
  /** The layers that were made. */
  readonly layered: LayersLook | undefined;
  /** The settings while a control moves. */
  readonly draft: PageJob | undefined;
  /** The last exact result. */
  readonly screen: ScreenTold | undefined;
  /** What would help where the card is small for the picture, once it has been looked for. */
  readonly advised: Advised | undefined;
  /** The corners of a page that lies in a picture, once it has been looked for; of that picture alone. */
  readonly pageSeen: PageSeen | undefined;
  /** What is drawn: newer and coarser than the exact result while a control moves. */
  readonly sketch: Sketch | undefined;
  readonly working: boolean;
  /** Why what is shown is of earlier settings. */
  readonly failure: Failure | undefined;
  /** No stencil could be made of the present settings: the last exact result is one of earlier settings. */
  readonly outdated: boolean;
  readonly trouble: ErrorMessage | undefined;
  /** The preview of the print, as an object URL. */
  readonly print: string | undefined;
  /** Several pictures that are gone through one by one. */
  readonly tray: Tray | undefined;
}

/** Before anything is opened. */
export const NOTHING_OPEN: PageState = {
  picture: undefined,
  opening: undefined,
  history: begin<PageJob>({}),
  layers: undefined,
  layered: undefined,
  draft: undefined,
  screen: undefined,
  advised: undefined,
  pageSeen: undefined,
  sketch: undefined,
  working: false,
  failure: undefined,
  outdated: false,
  trouble: undefined,
  print: undefined,
  tray: undefined,
};

/** What is shown of a picture that was just opened, before any result of it has come. */
export const NO_RESULT_YET = {
  draft: undefined,
  screen: undefined,
  advised: undefined,
  sketch: undefined,
  layered: undefined,
  failure: undefined,
  outdated: false,
  print: undefined,
} satisfies Partial<PageState>;
