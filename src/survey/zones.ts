import type { Explanation } from "./explanation.js";
import { measuredForm } from "./functional.js";
import type { Usable } from "./model/stations.js";
import type { SurveyZone } from "./survey.js";

/** Zones less probable than this are not told. */
const LEAST_ZONE = 0.2;

/** Zones that the explanations suppose, each with its height and how probable each reason is. Zones that overlap are one whose ends are not sure: told with its likeliest ends. */
export function zonesOf(usable: Usable, explanations: readonly Explanation[]): readonly SurveyZone[] {
  return overlapping(explanations).flatMap((same): SurveyZone[] => {
    const probability = same.reduce((sum, explanation) => sum + explanation.probability, 0);
    const { from, to } = likeliestEnds(same);
    const [fromFret, toFret] = [usable.stations[from]?.fret, usable.stations[to]?.fret];
    if (fromFret === undefined || toFret === undefined || probability < LEAST_ZONE) return [];
    const up = measuredForm(same.map((explanation) => ({ ...explanation, probability: explanation.probability / probability })), ({ zoneHeight }) => ({ index: zoneHeight === undefined ? [] : [zoneHeight], coefficient: zoneHeight === undefined ? [] : [1] }));
    const ofBoard = same.filter(({ layout }) => layout.zone?.of === "board").reduce((sum, explanation) => sum + explanation.probability, 0);
    return [{ fromFret, toFret, up, probability, probabilityBoard: ofBoard, probabilityFrets: probability - ofBoard }];
  });
}

/** Explanations with a zone, those together whose zones overlap. */
function overlapping(explanations: readonly Explanation[]): readonly (readonly Explanation[])[] {
  return explanations.filter(({ layout }) => layout.zone !== undefined).reduce<readonly (readonly Explanation[])[]>((groups, one) => {
    const near = groups.filter((group) => group.some((other) => overlap(one, other)));
    return [...groups.filter((group) => !near.includes(group)), [...near.flat(), one]];
  }, []);
}

function overlap({ layout: { zone: a } }: Explanation, { layout: { zone: b } }: Explanation): boolean {
  return a !== undefined && b !== undefined && a.from <= b.to && b.from <= a.to;
}

function likeliestEnds(same: readonly Explanation[]): { readonly from: number; readonly to: number } {
  const ends = same.flatMap(({ layout: { zone } }) => (zone === undefined ? [] : [zone]));
  const shareOf = ({ from, to }: { readonly from: number; readonly to: number }): number => same.reduce((sum, { layout: { zone }, probability }) => sum + (zone?.from === from && zone.to === to ? probability : 0), 0);
  return ends.reduce((best, one) => (shareOf(one) > shareOf(best) ? one : best), ends[0] ?? { from: -1, to: -1 });
}
