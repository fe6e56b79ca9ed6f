import fc from 'fast-check';
import { expect, it } from 'vitest';
import { unionFind } from '../../src/graphs/union-find.js';

it('holds together what was united, by any chain, and nothing else', () => {
  const pairs = fc.array(fc.tuple(fc.nat(19), fc.nat(19)), { maxLength: 30 });
  fc.assert(
    fc.property(pairs, (united) => {
      const sets = unionFind(20);
      const colour = Array.from({ length: 20 }, (_, i) => i);
      for (const [a, b] of united) {
        expect(sets.unite(a, b)).toBe(colour[a] !== colour[b]);
        const [from, to] = [colour[b], colour[a]];
        colour.forEach((one, i) => {
          if (one === from) colour[i] = to;
        });
      }
      for (let i = 0; i < 20; i++) {
        for (let j = 0; j < 20; j++) {
          expect(sets.find(i) === sets.find(j)).toBe(colour[i] === colour[j]);
        }
      }
    }),
  );
});
