/** A function that works its answer out when it is first asked, and keeps it. */
export function once<T>(made: () => T): () => T {
  let found: { readonly value: T } | undefined;
  return () => (found ??= { value: made() }).value;
}
