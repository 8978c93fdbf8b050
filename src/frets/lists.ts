/**
 * Fret numbers in words, runs drawn together: `frets 1 to 5, 7 and 9`.
 * @example equal(fretsWords([1, 2, 3, 7]), "frets 1 to 3 and 7");
 */
export function fretsWords(frets: readonly number[]): string {
  const sorted = [...new Set(frets)].sort((a, b) => a - b);
  const runs = sorted.reduce<[number, number][]>((done, fret) => {
    const last = done.at(-1);
    if (last !== undefined && last[1] === fret - 1) last[1] = fret;
    else done.push([fret, fret]);
    return done;
  }, []);
  const parts = runs.flatMap(([from, to]) => (to === from ? [`${from}`] : to === from + 1 ? [`${from}`, `${to}`] : [`${from} to ${to}`]));
  return `${sorted.length === 1 ? "fret" : "frets"} ${joined(parts)}`;
}

/** `bass, centre and treble`. */
export function joined(parts: readonly string[]): string {
  return parts.length < 2 ? parts.join("") : `${parts.slice(0, -1).join(", ")} and ${parts.at(-1) ?? ""}`;
}
