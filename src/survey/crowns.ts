import type { Explanation } from "./explanation.js";
import { measuredSmoothForms } from "./functional.js";
import { combined, fretTopRow, smoothRow, woodRow } from "./model/layout.js";
import { mannerOf } from "./model/paths.js";
import { stationAt } from "./model/stations.js";
import type { Usable } from "./model/stations.js";
import type { Crown } from "./survey.js";

/** Height of the wire over the wood wherever a crown gauge stood. */
export function crownsOf(usable: Usable, explanations: readonly Explanation[], survey: number): readonly Crown[] {
  const read = usable.settings.filter((setting) => mannerOf(setting) === "crown" && (setting.survey ?? 0) === survey).flatMap((setting) => setting.readings);
  const places = [...new Map(read.map((reading) => [`${reading.line} ${reading.place.label}`, reading])).values()].filter(({ place }) => place.fret !== undefined);
  const heights = measuredSmoothForms(explanations, places.map(({ line, place }) => (layout) => {
    const station = stationAt(layout.stations, place);
    const hasWood = layout.wood(layout.lines.indexOf(line), station) !== undefined;
    const beside = hasWood ? woodRow(layout, line, station, survey) : smoothRow(layout, line, place.xMm, survey);
    return combined([[1, fretTopRow(layout, line, station, survey)], [-1, beside], [1, { index: layout.crownHeight === undefined ? [] : [layout.crownHeight], coefficient: layout.crownHeight === undefined ? [] : [1] }]]);
  }));
  return places.flatMap(({ line, place: { fret } }, index) => {
    const height = heights[index];
    return fret === undefined || height === undefined ? [] : [{ line, fret, height }];
  });
}
