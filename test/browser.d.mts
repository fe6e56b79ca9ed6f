/** The path of a Chromium on this computer; undefined when there is none. */
export function findBrowser(): string | undefined;
