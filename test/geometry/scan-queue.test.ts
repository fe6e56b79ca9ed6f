import fc from 'fast-check';
import { expect, it } from 'vitest';
import { scanQueue } from '../../src/geometry/scan-queue.js';

it('gives distinct numbers from the largest down, whenever they are put in', () => {
  const steps = fc.array(fc.option(fc.integer({ min: -20, max: 20 })), { maxLength: 120 });
  fc.assert(
    fc.property(steps, (asked) => {
      const queue = scanQueue();
      const plain = new Set<number>();
      for (const step of asked) {
        if (step === null) {
          const largest = plain.size > 0 ? Math.max(...plain) : undefined;
          expect(queue.pollLast()).toBe(largest);
          if (largest !== undefined) plain.delete(largest);
        } else {
          queue.add(step);
          plain.add(step);
        }
        expect(queue.isEmpty()).toBe(plain.size === 0);
      }
      queue.clear();
      expect(queue.isEmpty()).toBe(true);
      expect(queue.pollLast()).toBeUndefined();
    }),
  );
});
