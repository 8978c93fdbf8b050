/**
 * The known name a user most likely meant.
 * @param written what was typed; case, blanks, dashes and underlines do not count
 * @param known the names that would have been accepted
 * @returns the nearest of them, or `undefined` where none is near (more than a third of the letters differ)
 * @example equal(nearestName("scalelenght", ["scaleLength", "frets"]), "scaleLength");
 */
export function nearestName(written: string, known: readonly string[]): string | undefined {
  const plain = plainName(written.slice(0, LONGEST_NAME));
  const ranked = known
    .map((name) => ({ name, steps: editSteps(plain, plainName(name)) }))
    .sort((a, b) => a.steps - b.steps);
  const best = ranked[0];
  if (best === undefined || plain === "") return undefined;
  return best.steps <= Math.max(1, Math.floor(Math.max(plain.length, best.name.length) / 3)) ? best.name : undefined;
}

/** Longer names than this are not misspellings, and comparing them would cost time. */
const LONGEST_NAME = 60;

function plainName(name: string): string {
  return name.toLowerCase().replace(/[\s_-]/g, "");
}

/** Levenshtein distance: letters to insert, drop or change. */
function editSteps(a: string, b: string): number {
  let previous = Array.from({ length: b.length + 1 }, (_, index) => index);
  for (let i = 1; i <= a.length; i += 1) {
    const current = [i];
    for (let j = 1; j <= b.length; j += 1) {
      const change = (previous[j - 1] ?? 0) + (a[i - 1] === b[j - 1] ? 0 : 1);
      current.push(Math.min(change, (previous[j] ?? 0) + 1, (current[j - 1] ?? 0) + 1));
    }
    previous = current;
  }
  return previous[b.length] ?? 0;
}
