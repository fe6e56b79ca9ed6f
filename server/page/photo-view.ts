import type { PictureInfo } from './api.js';
import type { PageModel, PageState } from './page-model.js';

/** What an editor of the photo is handed. */
export interface PhotoViewProps {
  readonly model: PageModel;
  readonly state: PageState;
  readonly picture: PictureInfo;
  readonly onDone: () => void;
  /** Tells what is done here, where it is not what the tool does at first. */
  readonly say: (text: string) => void;
}
