/** Where a problem is when it is with a picture whose file it does not know. */
export const THE_PICTURE = 'picture';

/**
 * The one kind of error that a person may see: what is wrong, where, and what to do about it.
 * Anything else that is thrown is a fault of ours.
 */
export class Problem extends Error {
  override readonly name = 'Problem';

  /**
   * @param what what is wrong, a sentence without its full stop ("The picture is empty")
   * @param where the file, folder or setting it is about
   * @param remedy what the person can do, a sentence without its full stop
   */
  constructor(
    readonly what: string,
    readonly where: string,
    readonly remedy: string,
    options?: ErrorOptions,
  ) {
    super(`${what} (${where}). ${remedy}.`, options);
  }
}

/**
 * Does something with a picture; a problem with it that speaks of a setting or of "the picture" names its file too, as
 * among many pictures one has to know which.
 *
 * @param source a path where the picture has one
 */
export async function namingThe<Result>(
  source: unknown,
  work: () => Promise<Result>,
): Promise<Result> {
  try {
    return await work();
  } catch (error) {
    if (typeof source !== 'string' || !(error instanceof Problem)) throw error;
    const { what, where, remedy } = error;
    if (where.includes(source)) throw error;
    const named = where === THE_PICTURE ? source : `${source}: ${where}`;
    throw new Problem(what, named, remedy, { cause: error });
  }
}
