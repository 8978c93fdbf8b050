/** How a fret stands as a whole. */
export type FretClass = "as intended" | "high" | "low" | "lifted at one end" | "crown not following the radius";

/** A line on which a fret was read: its name, and whether it runs along an end of the frets. */
export type ReadLine = { readonly line: string; readonly isEnd: boolean };

/** A fret's class, and the lines on which it is off. */
export type Stance = { readonly class: FretClass; readonly off: readonly string[] };

/**
 * Judges one fret by its heights over the neck line on the lines read. It is off where it leaves the limit anywhere; which lines are off is
 * judged against half of its largest height, so that a fret just over the limit all across is not called lifted at one end.
 * @param heightsMm over the neck line, mm, one for each of `lines`
 * @param lines from bass to treble
 * @param limitMm a fret counts as high from here, and as low from as far below the line
 * @example equal(stanceOf([0, 0.01, 0.07], [{ line: "bass", isEnd: true }, { line: "centre", isEnd: false }, { line: "treble", isEnd: true }], 0.03), { class: "lifted at one end", off: ["treble"] });
 */
export function stanceOf(heightsMm: ArrayLike<number>, lines: readonly ReadLine[], limitMm: number): Stance {
  const heights = lines.map((_, index) => heightsMm[index] ?? 0);
  const [top, bottom] = [Math.max(0, ...heights), Math.min(0, ...heights)];
  if (top <= limitMm && -bottom <= limitMm) return { class: "as intended", off: [] };
  const isHigh = top >= -bottom;
  const off = lines.filter((_, index) => (isHigh ? (heights[index] ?? 0) > top / 2 : (heights[index] ?? 0) < bottom / 2));
  return { class: classOf(off, lines, isHigh), off: off.map(({ line }) => line) };
}

function classOf(off: readonly ReadLine[], lines: readonly ReadLine[], isHigh: boolean): FretClass {
  const offEnds = off.filter(({ isEnd }) => isEnd).length;
  const endsRead = lines.filter(({ isEnd }) => isEnd).length;
  if (off.length < lines.length && endsRead === 2 && offEnds !== 1) return "crown not following the radius";
  if (!isHigh) return "low";
  return off.length < lines.length && offEnds === 1 ? "lifted at one end" : "high";
}

/** The class that most of the drawn heights of a fret fall into, with the lines that are off in most of them, and the share of every class. */
export type JudgedStance = Stance & { readonly shares: Readonly<Record<FretClass, number>>; /** Share of the draws in which it is over the limit somewhere. */ readonly over: number };

/**
 * The class of a fret whose heights are known only as joint draws. As intended unless more than half of the draws are off; of those the
 * commonest class.
 * @param draws one array a draw: heights in the order of `lines`, from `offset` on
 */
export function judgedStance(draws: readonly ArrayLike<number>[], lines: readonly ReadLine[], limitMm: number): JudgedStance {
  const stances = draws.map((draw) => stanceOf(draw, lines, limitMm));
  const count = Math.max(1, draws.length);
  const share = (of: FretClass): number => stances.filter((stance) => stance.class === of).length / count;
  const shares = { "as intended": share("as intended"), high: share("high"), low: share("low"), "lifted at one end": share("lifted at one end"), "crown not following the radius": share("crown not following the radius") };
  const over = draws.filter((draw) => lines.some((_, index) => (draw[index] ?? 0) > limitMm)).length / count;
  const likeliest = shares["as intended"] >= 0.5 ? "as intended" : OFF.reduce((best, one) => (shares[one] > shares[best] ? one : best), "high");
  const same = stances.filter((stance) => stance.class === likeliest);
  const off = lines.map(({ line }) => line).filter((line) => same.filter((stance) => stance.off.includes(line)).length > same.length / 2);
  return { class: likeliest, off, shares, over };
}

const OFF: readonly FretClass[] = ["high", "low", "lifted at one end", "crown not following the radius"];
