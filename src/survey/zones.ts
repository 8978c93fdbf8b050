import type { Explanation } from "./explanation.js";
import { measuredSmooth } from "./functional.js";
import type { Usable } from "./model/stations.js";
import type { SurveyZone } from "./survey.js";

/** Zones less probable than this are not told. */
const LEAST_ZONE = 0.2;

/** Zones that the explanations suppose, each with its height and how probable each reason is. Zones that overlap are one whose ends are not sure: told with the frets that lie in most of it. */
export function zonesOf(usable: Usable, explanations: readonly Explanation[]): readonly SurveyZone[] {
  return overlapping(explanations).flatMap((same): SurveyZone[] => {
    const probability = same.reduce((sum, explanation) => sum + explanation.probability, 0);
    const { from, to } = sureEnds(same, probability / 2);
    const [fromFret, toFret] = [usable.stations[from]?.fret, usable.stations[to]?.fret];
    if (fromFret === undefined || toFret === undefined || probability < LEAST_ZONE) return [];
    const up = measuredSmooth(same.map((explanation) => ({ ...explanation, probability: explanation.probability / probability })), ({ zoneHeight }) => ({ index: zoneHeight === undefined ? [] : [zoneHeight], coefficient: zoneHeight === undefined ? [] : [1] }));
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

/** First and last place that lie in zones of more than this probability together; the likeliest zone where none does. */
function sureEnds(same: readonly Explanation[], least: number): { readonly from: number; readonly to: number } {
  const zones = same.flatMap(({ layout: { zone }, probability }) => (zone === undefined ? [] : [{ ...zone, probability }]));
  const reach = Math.max(...zones.map(({ to }) => to));
  const inMost = Array.from({ length: reach + 1 }, (_, place) => place).filter((place) => zones.reduce((sum, { from, to, probability }) => sum + (place >= from && place <= to ? probability : 0), 0) > least);
  const likeliest = zones.reduce((best, one) => (one.probability > best.probability ? one : best));
  return { from: inMost[0] ?? likeliest.from, to: inMost.at(-1) ?? likeliest.to };
}
