import { MM_PER_THOU } from "../units/length.js";
import type { InventedStream } from "./stream.js";

/** One leaf: what is etched on it, and how thick it is. */
export type InventedLeaf = { readonly nominalMm: number; readonly actualMm: number };

/** A straightedge with its own error. */
export type InventedEdge = {
  readonly lengthMm: number;
  readonly straightnessToleranceMm: number;
  /** Even error: how far the middle of the edge's underside lies above its ends; it makes a neck look that much more forward-bowed. */
  readonly evenMm: number;
  /** Odd error: highest departure of the cubic that is zero at both ends and in the middle; it changes sides when the edge is turned. */
  readonly oddMm: number;
};

/** A pair of hands with an edge, a rocker and a set of leaves. */
export type InventedOperator = {
  readonly edge: InventedEdge;
  readonly rocker: InventedEdge;
  /** From thin to thick. */
  readonly leaves: readonly [InventedLeaf, ...InventedLeaf[]];
  readonly leafToleranceMm: number;
  /** Uncertainty of the hand that judges "goes" and "does not go". */
  readonly feelMm: number;
  /** `each leaf`: every try has its own error; `each reading`: one error for all leaves tried in one gap, as the adjustment takes it. */
  readonly feelOf: "each leaf" | "each reading";
  /** Looks for light where the thinnest leaf does not go, and writes `touch` or `light`; otherwise writes `0`. */
  readonly looksForLight: boolean;
  /** Smallest gap that lets light through, mm: normal with a third of it as sd, never below 0.0005 mm. */
  readonly leastLightMm: number;
  /** An edge at rest on two frets closer than this rocks under the hand. */
  readonly rocksBelowMm: number;
};

/** Leaves of the invented sets, in thou: 1.5, 2, 2.5, 3, by one to 16, then 18, 20, 22, 24, 25, 28, 30, 32, 35 and 40. */
export const INVENTED_LEAVES_THOU: readonly number[] = [1.5, 2, 2.5, 3, ...Array.from({ length: 13 }, (_, k) => k + 4), 18, 20, 22, 24, 25, 28, 30, 32, 35, 40];

/** What may be chosen of an operator; the rest is drawn. */
export type OperatorChoice = Partial<Pick<InventedOperator, "feelMm" | "feelOf" | "looksForLight" | "leafToleranceMm">> & {
  readonly edgeToleranceMm?: number;
  /** `mostly bowed` unless chosen: as published at `inventedOperator`. `anyhow`: all pairs of even and odd error that stay within the tolerance are alike. */
  readonly edgeErrors?: "mostly bowed" | "anyhow";
};

/**
 * Draws an operator and the tools in hand. Invented, like the necks; the numbers are common practice without a source.
 *
 * Edge 450 mm long, tolerance 0.02 mm: even error normal with half the tolerance as sd, odd error with a quarter of it, both drawn again until
 * the edge is within tolerance. Rocker 80 mm long, tolerance 0.005 mm, drawn alike. Leaves in thou from 1.5, each off by up to 0.004 mm, uniform. Feel 0.005 mm, for each leaf tried. Looks for light
 * (0.002 mm, give or take a third). An edge at rest on two frets less than 120 mm apart rocks.
 */
export function inventedOperator(stream: InventedStream, choice: OperatorChoice = {}): InventedOperator {
  const leafToleranceMm = choice.leafToleranceMm ?? 0.004;
  const leaf = (thou: number): InventedLeaf => ({ nominalMm: thou * MM_PER_THOU, actualMm: thou * MM_PER_THOU + stream.uniform(-leafToleranceMm, leafToleranceMm) });
  const [thinnest = 1.5, ...thicker] = INVENTED_LEAVES_THOU;
  return {
    edge: drawnEdge(stream, 450, choice.edgeToleranceMm ?? 0.02, choice.edgeErrors),
    rocker: drawnEdge(stream, 80, 0.005),
    leaves: [leaf(thinnest), ...thicker.map(leaf)],
    leafToleranceMm,
    feelMm: choice.feelMm ?? 0.005,
    feelOf: choice.feelOf ?? "each leaf",
    looksForLight: choice.looksForLight ?? true,
    leastLightMm: 0.002,
    rocksBelowMm: 120,
  };
}

function drawnEdge(stream: InventedStream, lengthMm: number, toleranceMm: number, errors: OperatorChoice["edgeErrors"] = "mostly bowed"): InventedEdge {
  const drawn = (sdMm: number): number => (errors === "anyhow" ? stream.uniform(-toleranceMm, toleranceMm) : stream.normal(0, sdMm));
  for (;;) {
    const edge = { lengthMm, straightnessToleranceMm: toleranceMm, evenMm: drawn(toleranceMm / 2), oddMm: drawn(toleranceMm / 4) };
    if (worstErrorMm(edge) <= toleranceMm) return edge;
  }
}

function worstErrorMm(edge: InventedEdge): number {
  const places = Array.from({ length: 41 }, (_, k) => (k / 40 - 0.5) * edge.lengthMm);
  return Math.max(...places.map((uMm) => Math.abs(edgeErrorMm(edge, uMm))));
}

/**
 * Height of the edge's underside over the straight line through its two ends, mm, `uMm` from its middle.
 * It adds to the gap read there.
 */
export function edgeErrorMm(edge: InventedEdge, uMm: number): number {
  const v = (2 * uMm) / edge.lengthMm;
  return edge.evenMm * (1 - v * v) + edge.oddMm * 1.5 * Math.sqrt(3) * v * (1 - v * v);
}
