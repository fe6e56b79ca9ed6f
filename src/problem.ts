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
