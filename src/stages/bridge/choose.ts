import { spanningTree } from '../../graphs/spanning-tree.js';
import { unionFind } from '../../graphs/union-find.js';
import type { Job } from '../../settings/job.js';
import { coreAt, type ErodedFilm } from './eroded-film.js';
import { augmentConnectivity, holdSteps, type HoldSteps } from './connectivity-augmentation.js';
import { spacingOf, type Apart, type Spacing } from './spacing.js';
import type { Tie } from './tie.js';

/** What ties there are already. */
export interface FixedTies {
  /** Ties that stay, and that the new ones keep away from. */
  readonly laid: readonly Tie[];
  /** Ties that were proposed and are not wanted: nothing else is proposed for what they would have joined. */
  readonly unwanted: readonly Tie[];
}

type ChooseSettings = Pick<
  Job,
  'narrowestOpening' | 'narrowestStrip' | 'bridgeAmount' | 'twoTiesFrom' | 'tieEvery'
>;

/** What the choice of ties is made with. */
export interface ChooseParts extends HoldSteps {
  readonly spacingOf: typeof spacingOf;
}

export const chooseParts: ChooseParts = { ...holdSteps, spacingOf };

/**
 * The ties that make the film one piece that holds: a tree of least damage that joins all cores, and what is needed
 * beyond it so that nothing large hangs on one tie.
 */
export function chooseTies(
  film: ErodedFilm,
  candidates: readonly Tie[],
  given: FixedTies,
  settings: ChooseSettings,
  parts: ChooseParts,
): readonly Tie[] {
  const placed = given.laid.map((tie) => placedOn(film, tie));
  const unwanted = given.unwanted.map((tie) => placedOn(film, tie));
  const spacing = parts.spacingOf(placed, settings.narrowestOpening);
  const ways = settings.bridgeAmount === 'fewer' ? closerWays(film) : WAYS;
  const tree = joining(film, candidates, [...placed, ...unwanted], spacing, ways);
  return augmentConnectivity(
    film,
    candidates,
    { given: [...placed, ...unwanted], tree, spacing },
    settings,
    parts,
  );
}

/** A tie with the numbers that its ends' cores have on this film. */
export function placedOn(film: ErodedFilm, tie: Tie): Tie {
  return { ...tie, from: coreAt(film, tie.start), to: coreAt(film, tie.end) };
}

/** From the best to what must be when nothing else is left: one piece goes before good looks. */
const WAYS: readonly Apart[] = ['spread', 'clear', 'beside', 'uncrossed'];

/**
 * With fewer bridges, strips may lie so close that the opening between them is too small to cut; where length alone
 * counts, they may even touch.
 */
function closerWays({ saliency }: ErodedFilm): readonly Apart[] {
  return saliency ? ['beside', 'uncrossed'] : ['uncrossed'];
}

/** A minimum spanning tree of the ties that keep away from each other; where they leave cores apart, of any. */
function joining(
  film: ErodedFilm,
  candidates: readonly Tie[],
  given: readonly Tie[],
  spacing: Spacing,
  ways: readonly Apart[],
): Tie[] {
  const nodes = film.count + 1;
  const joined = unionFind(nodes);
  let missing = film.count - 1;
  for (const { from, to } of given) {
    if (from !== 0 && to !== 0 && joined.unite(from, to)) missing--;
  }
  const chosen: Tie[] = [];
  for (const way of [...ways, undefined]) {
    if (chosen.length === missing) break;
    const more = spanningTree(nodes, candidates, joined, (tie) => {
      if (way && !spacing.fits(tie, way)) return false;
      spacing.add(tie);
      return true;
    });
    chosen.push(...more);
  }
  return chosen;
}
