import { isDeepStrictEqual } from 'node:util';

/**
 * A function that remembers what it last made of each thing, for as long as the thing lives: what is worked out from a
 * picture is not worked out again when only other settings move. The thing is known by identity, the rest by value.
 */
export function memoizeLast<K extends object, A extends readonly unknown[], V>(
  make: (of: K, ...rest: A) => V,
): (of: K, ...rest: A) => V {
  const last = new WeakMap<K, { readonly rest: A; readonly value: V }>();
  return (of, ...rest) => {
    const known = last.get(of);
    if (known && isDeepStrictEqual(known.rest, rest)) return known.value;
    const value = make(of, ...rest);
    last.set(of, { rest, value });
    return value;
  };
}
