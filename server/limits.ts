/** What the server lets one person's browser ask of it. Each number can be set, as the tests do. */
export interface ServerLimits {
  /** The largest picture file, in bytes. */
  readonly uploadBytes: number;
  /** The most pixels that a picture may have. */
  readonly pixels: number;
  /** Uploads at a time; each is held in memory whole while it comes in. */
  readonly uploads: number;
  /** Pictures kept, and their bytes together; the one unused for longest makes room. */
  readonly pictures: number;
  readonly keptBytes: number;
  /** Threads that compute, and how many requests may wait for each. */
  readonly threads: number;
  readonly waiting: number;
  /** Milliseconds that a request may wait and be worked on. */
  readonly patienceMs: number;
}

/** Bytes of a mebibyte (IEC 80000-13). */
const MIB = 1 << 20;

/**
 * What one person needs at a time, against what a small computer can hold. A picture may be what the largest cameras
 * make, 200 megapixels; uploads and pictures kept take 0.8 GiB at the most; fifty browsers at once made the server 1.4
 * GiB large (`npm run bench page`). Two threads, so that a long piece of work leaves one free.
 */
export const defaultLimits: ServerLimits = {
  uploadBytes: 80 * MIB,
  pixels: 210_000_000,
  uploads: 4,
  pictures: 64,
  keptBytes: 512 * MIB,
  threads: 2,
  waiting: 24,
  patienceMs: 60_000,
};
