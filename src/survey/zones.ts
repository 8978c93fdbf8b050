import type { Explanation } from "./explanation.js";
import { measuredForm } from "./functional.js";
import type { Usable } from "./model/stations.js";
import type { SurveyZone } from "./survey.js";

/** Zones less probable than this are not told. */
const LEAST_ZONE = 0.2;

/** Zones that the explanations suppose, each with its height and how probable each reason is. */
export function zonesOf(usable: Usable, explanations: readonly Explanation[]): readonly SurveyZone[] {
  const supposed = explanations.filter(({ layout }) => layout.zone !== undefined);
  const keyOf = ({ layout }: Explanation): string => `${layout.zone?.from ?? ""}-${layout.zone?.to ?? ""}`;
  return [...new Set(supposed.map(keyOf))].flatMap((key): SurveyZone[] => {
    const same = supposed.filter((explanation) => keyOf(explanation) === key);
    const { zone } = same[0]?.layout ?? {};
    const probability = same.reduce((sum, explanation) => sum + explanation.probability, 0);
    const [fromFret, toFret] = [usable.stations[zone?.from ?? -1]?.fret, usable.stations[zone?.to ?? -1]?.fret];
    if (fromFret === undefined || toFret === undefined || probability < LEAST_ZONE) return [];
    const up = measuredForm(same.map((explanation) => ({ ...explanation, probability: explanation.probability / probability })), ({ zoneHeight }) => ({ index: zoneHeight === undefined ? [] : [zoneHeight], coefficient: zoneHeight === undefined ? [] : [1] }));
    const ofBoard = same.filter(({ layout }) => layout.zone?.of === "board").reduce((sum, explanation) => sum + explanation.probability, 0);
    return [{ fromFret, toFret, up, probability, probabilityBoard: ofBoard, probabilityFrets: probability - ofBoard }];
  });
}
