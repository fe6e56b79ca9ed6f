import { counted } from '../src/index.js';

/** In milliseconds. */
const MINUTE_MS = 60_000;

/** How fast a batch goes. What stood there from before is counted as done, but tells nothing about the rate. */
export class Pace {
  readonly #start: number;
  #done = 0;
  #made = 0;

  /**
   * @param total how many pictures there are
   * @param now milliseconds on a clock that only goes forward
   */
  constructor(
    readonly total: number,
    private readonly now: () => number = () => performance.now(),
  ) {
    this.#start = now();
  }

  /** Counts a picture; `kept` where its stencil stood there from before. */
  count(kept: boolean): void {
    this.#done++;
    if (!kept) this.#made++;
  }

  /** "12 of 40 pictures, 96 a minute, 18 s left". */
  line(): string {
    const done = `${this.#done} of ${counted(this.total, 'picture')}`;
    const elapsed = this.now() - this.#start;
    if (this.#made === 0 || elapsed === 0) return `${done} …`;
    const each = elapsed / this.#made;
    return `${done}, ${rateInWords(MINUTE_MS / each)} a minute, ${lasting((this.total - this.#done) * each)} left`;
  }
}

function rateInWords(rate: number): string {
  return rate < 10 ? rate.toFixed(1) : rate.toFixed(0);
}

/** A time as 8 s, 3 min 20 s or 2 h 5 min. */
function lasting(ms: number): string {
  const seconds = Math.ceil(ms / 1000);
  if (seconds < 60) return `${seconds} s`;
  const minutes = Math.floor(seconds / 60);
  if (minutes < 60) return `${minutes} min ${seconds % 60} s`;
  return `${Math.floor(minutes / 60)} h ${minutes % 60} min`;
}
