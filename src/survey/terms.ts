import type { Neck } from "../neck/neck.js";
import { datumFixed, TWIST_NEED } from "./datumFreedom.js";
import type { SparseRow } from "./linear/arrow.js";
import type { Form } from "./functional.js";
import { combined, faceRow, fretTopRow, smoothRow } from "./model/layout.js";
import type { Layout } from "./model/layout.js";
import type { Usable } from "./model/stations.js";
import type { HeightTerm } from "./survey.js";

/** A combination of heights as a row over the unknowns. @throws {RangeError} a place that the survey does not reach */
export function termsForm(terms: readonly HeightTerm[]): Form {
  return (layout) => combined(terms.map((term) => [term.weight, termRow(layout, term)] as const));
}

/** Sums of weights below this share of the largest weight are zero. */
const NO_WEIGHT = 1e-9;

/** Whether a combination asks only what changed from survey to survey: what all surveys have in common cancels at every place, and with it any corner of their neck line. */
export function isChange(terms: readonly HeightTerm[]): boolean {
  const sums = new Map<string, number>();
  for (const { weight, ...term } of terms) {
    const place = term.of === "fretTop" ? `fret ${term.fret}` : `${term.xMm} mm`;
    const key = [term.of, term.line, place].join("\n");
    sums.set(key, (sums.get(key) ?? 0) + weight);
  }
  const largest = Math.max(...terms.map(({ weight }) => Math.abs(weight)), 0);
  return [...sums.values()].every((sum) => Math.abs(sum) <= NO_WEIGHT * largest);
}

/** As `termsForm`. @throws {RangeError} also a combination that the readings do not determine */
export function determinedForm(neck: Neck, usable: Usable, terms: readonly HeightTerm[]): Form {
  if (!datumFixed(neck, usable, terms)) {
    throw new RangeError(`Cannot give this combination of heights: its weights, or weights times x, do not sum to zero on every line, and these readings do not fix level and tilt of the lines (for twist ${TWIST_NEED})`);
  }
  return termsForm(terms);
}

function termRow(layout: Layout, term: HeightTerm): SparseRow {
  if (term.of === "neckLine") return smoothRow(layout, term.line, term.xMm, term.survey);
  if (term.of !== "fretTop") return faceRow(layout, term.of, term.line, term.xMm, term.survey);
  const station = layout.stations.findIndex((candidate) => candidate.fret === term.fret);
  if (station < 0) throw new RangeError(`Cannot give the height of fret ${term.fret}: expected a fret between the first and the last reading`);
  return fretTopRow(layout, term.line, station, term.survey);
}
