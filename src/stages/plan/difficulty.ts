import { counted } from '../../settings/words/counted.js';
import { sizeClassOf } from './rounds.js';

/** How hard a stencil is to cut, in words, and why. */
export interface Difficulty {
  readonly level: 'easy' | 'steady' | 'fiddly' | 'demanding';
  /** "14 pieces smaller than a pea". */
  readonly because: readonly string[];
}

const LEVELS = ['easy', 'steady', 'fiddly', 'demanding'] as const;

/** What is measured, the most of it that each level but the last takes, and how it is told. From memory. */
interface Measure {
  readonly value: number;
  readonly most: readonly [easy: number, steady: number, fiddly: number];
  readonly says: string;
}

/** The level is that of the worst measure; every measure that reaches it is a reason. */
export function difficultyOf(
  pieces: readonly { readonly areaMm2: number }[],
  sums: { readonly cuttingMm: number; readonly corners: number; readonly thinPlaces: number },
  minutes: number,
): Difficulty {
  const small = pieces.filter(({ areaMm2 }) => sizeClassOf(areaMm2) === 'small').length;
  const measures: readonly Measure[] = [
    {
      value: small,
      most: [3, 10, 40],
      says: `${counted(small, 'piece')} smaller than a pea`,
    },
    {
      value: sums.thinPlaces,
      most: [4, 15, 60],
      says: `${counted(sums.thinPlaces, 'place')} with only a thin strip of film between two cuts`,
    },
    { value: sums.corners, most: [40, 120, 400], says: `${counted(sums.corners, 'corner')}` },
    {
      value: minutes,
      most: [20, 45, 120],
      says: `${(sums.cuttingMm / 1000).toFixed(1)} m of cutting, about ${counted(Math.ceil(minutes), 'minute')}`,
    },
  ];
  const reached = measures.map(({ value, most }) => most.filter((limit) => value > limit).length);
  const worst = Math.max(...reached);
  if (worst === 0) return { level: 'easy', because: [easyBecause(pieces.length, small)] };
  return {
    level: LEVELS[worst],
    because: measures.filter((_, i) => reached[i] === worst).map(({ says }) => says),
  };
}

function easyBecause(pieces: number, small: number): string {
  const none = small === 0 ? 'none' : `only ${small}`;
  return `${counted(pieces, 'piece')}, ${none} smaller than a pea`;
}
