/** What `code.ts` holds when it is up to date. */
export function compiled(): Promise<string>;
/** What `generated.ts` holds when it is up to date. */
export function wrappers(): Promise<string>;
