/**
 * The first number of a long run: the one that was given, or one that no run had before, by the clock in seconds. It is
 * printed, so that the same run can be had again.
 *
 * @param again what repeats the run, up to the number
 */
export function firstSeed(given: string | undefined, again: string): number {
  const first = given === undefined ? Math.floor(Date.now() / 1000) : Number(given);
  if (!Number.isSafeInteger(first) || first < 0) throw new Error(`"${given}" is no whole number`);
  console.log(`numbers from ${first} on; the same again: ${again}${first}`);
  return first;
}
