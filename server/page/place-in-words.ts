import { settings } from '../../src/settings/job.js';
import { placeOn } from '../../src/settings/words/lengths.js';
import type { ViewPoint } from './viewport.js';
import type { PageState } from './page-model.js';

/** The card as it was given. */
export const cardOf = ({ draft, history }: Pick<PageState, 'draft' | 'history'>): string =>
  (draft ?? history.now).card ?? settings.card.default;

/** A place on the sheet in words: "1.25, 2 in", as the rulers beside it have it. */
export const placeIn = (state: Pick<PageState, 'draft' | 'history'>, { x, y }: ViewPoint): string =>
  placeOn(cardOf(state), [x, y]);
