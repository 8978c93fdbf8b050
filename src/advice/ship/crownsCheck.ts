import { fretsWords } from "../../frets/lists.js";
import type { Limits } from "../../neck/limits.js";
import type { Survey } from "../../survey/survey.js";
import { lengthWords, type UnitOrder } from "../../units/words.js";
import { crownHeights, type KnownCrown } from "../levelPlan/crowns.js";
import { between, judged, keptWords, stateOf, unknown, type ShipCheck } from "./judged.js";

/** Every crown against the least height. The wire's stated height is no reading: with it a neck is not passed. */
export function crownsCheck(survey: Survey, { crownMinMm }: Limits, order: UnitOrder): ShipCheck {
  const what = "crowns";
  const wanted = `every crown ${lengthWords(crownMinMm, order)} or more`;
  const tops = survey.heights.flatMap(({ line, place, surface }) => (surface === "fretTops" && place.fret !== undefined ? [{ line, fret: place.fret }] : []));
  const known = crownHeights(survey.neck, [survey.sheet], tops);
  if (known.status === "unknown" || tops.length === 0) return unknown(what, wanted, "the crowns were not measured", known.status === "unknown" ? known.need : "read the frets first");
  const lowest = known.crowns.reduce((least, one) => (one.heightMm < least.heightMm ? one : least));
  const measured = known.crowns.filter(({ from }) => from !== "wire as stated");
  const unmeasured = known.crowns.filter(({ from }) => from === "wire as stated").map(({ fret }) => fret);
  const probability = allOver(measured, crownMinMm);
  const found = lowest.from === "wire as stated" ? `the wire as stated, ${lengthWords(lowest.heightMm, order)}` : `least at fret ${lowest.fret}, ${lowest.line}: ${lengthWords(lowest.heightMm, order)}`;
  if (unmeasured.length === 0 || stateOf(probability) === "fail") return judged(what, wanted, found, probability, `measure fret ${lowest.fret} again; a fret that is too low is pulled and replaced`);
  const rest = measured.length === 0 ? "none was measured" : `those measured: ${keptWords(probability)}; not measured: ${fretsWords(unmeasured)}`;
  return { what, state: "not sure", wanted, found, reason: `${rest}; the wire's stated height is no reading`, next: `measure the crowns of ${fretsWords(unmeasured)} with a crown gauge` };
}

/** At least this probable is that all measured crowns are high enough: chances of being too low add up at most. One reading that speaks for several lines counts once. */
function allOver(crowns: readonly KnownCrown[], crownMinMm: number): number {
  const readings = new Map(crowns.map(({ fret, heightMm, uMm }) => [`${fret} ${heightMm} ${uMm}`, { value: heightMm, u: uMm }]));
  return Math.max(0, 1 - [...readings.values()].reduce((sum, crown) => sum + 1 - between(crown, crownMinMm, Infinity), 0));
}
