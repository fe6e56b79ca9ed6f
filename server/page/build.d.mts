/** Bundles the page into a folder. */
export function buildPage(folder: string): Promise<void>;
