import type { PictureInfo } from './api.js';
import type { PageState, State } from './work.js';

/** What an editor of the photo is handed. */
export interface PhotoViewProps {
  readonly work: PageState;
  readonly state: State;
  readonly picture: PictureInfo;
  readonly onDone: () => void;
}
