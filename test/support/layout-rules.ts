import type { LayoutRules } from '../../src/lettering/layout.js';

/** How words are laid out where a test does not say otherwise. */
export const RULES: LayoutRules = {
  align: 'centre',
  letterSpacing: 0,
  lineSpacing: 1.5,
  along: 'line',
  bend: 2,
  turned: 0,
  strip: 1.6,
};
