import type { PictureInfo } from './api.js';
import type { PageState, State } from './work.js';

/** What an editor of the photo is handed. */
export interface PhotoViewProps {
  readonly work: PageState;
  readonly state: State;
  readonly picture: PictureInfo;
  readonly onDone: () => void;
  /** Tells what is done here, where it is not what the tool does at first. */
  readonly say: (text: string) => void;
}
