/**
 * What makes a stencil that keeps its promises less than what was wanted, as a clause, by the code of its finding; the
 * gravest first. What is said of a stencil begins with it.
 */
const SHORTFALLS = {
  'writing-small': 'its writing is too small to be read',
  'little-kept': 'little of the picture is left',
  'faces-gone': 'its faces have lost their eyes and mouths',
  'forms-lost': 'its small parts have lost their shape',
  'light-lines-tied': 'bridges tie its light lines to one another',
  'fine-lines-lost': 'its fine lines have run together',
} as const;

export type Shortfall = keyof typeof SHORTFALLS;

export const isShortfall = (code: string): boolean => code in SHORTFALLS;

/** The gravest of them among findings; undefined where there is none. */
export function shortfallIn(findings: readonly { readonly code: string }[]): string | undefined {
  const names = Object.keys(SHORTFALLS) as Shortfall[];
  const found = names.find((name) => findings.some(({ code }) => code === name));
  return found && SHORTFALLS[found];
}
