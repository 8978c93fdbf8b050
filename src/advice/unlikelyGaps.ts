import { placeWords } from "../readings/entries.js";
import type { EdgeSetting, Gap, GapReading } from "../readings/reading.js";
import { isFreeBoard } from "../readings/state.js";
import type { Survey } from "../survey/survey.js";
import { lengthWords } from "../units/words.js";
import type { UnitOrder } from "../units/words.js";

/** A neck on its body bows no further than this (own judgement): so wide is no gap between two places that touch, mm. */
const MOST_BETWEEN_MM = 1.5;
/** Pressed down at one end, or balanced, an edge shows up to four times the bow at the other; mm. */
const MOST_BEYOND_MM = 3;

/** Gaps wider than a neck on its body goes, each as a question: a zero too many is likelier, or another unit. Nothing of a free board, which may go so far, and nothing of what is set aside as a slip. */
export function unlikelyGapWords({ sheet, blunders }: Survey, order: UnitOrder): readonly string[] {
  if (isFreeBoard(sheet.stage, sheet.state)) return [];
  const isSetAside = ({ origin }: GapReading): boolean => blunders.some(({ source, row, column }) => source === origin.source && row === origin.row && column === origin.column);
  return sheet.settings.filter(isAlongTops).flatMap((setting) => setting.readings.filter((reading) => !isSetAside(reading) && leastMm(reading.gap) > mostMm(setting, reading)).map((reading) => question(reading, mostMm(setting, reading), order)));
}

function isAlongTops({ path, surface, tool }: EdgeSetting): boolean {
  return path.kind === "along" && (surface === "fretTops" || surface === "wood") && (tool.kind === "straightedge" || tool.kind === "notched");
}

function mostMm({ readings }: EdgeSetting, { place }: GapReading): number {
  const touchedMm = readings.filter(({ gap }) => leastMm(gap) <= 0).map((reading) => reading.place.xMm);
  return touchedMm.some((xMm) => xMm < place.xMm) && touchedMm.some((xMm) => xMm > place.xMm) ? MOST_BETWEEN_MM : MOST_BEYOND_MM;
}

function leastMm(gap: Gap): number {
  return gap.kind === "interval" ? gap.lowMm : gap.gapMm;
}

function question({ place, line, written, origin }: GapReading, limitMm: number, order: UnitOrder): string {
  const likelier = tenth(written);
  const ask = likelier === undefined ? "Are the number and its unit right?" : `Is it ${likelier}?`;
  return `The gap at ${placeWords(place.label)}, ${line}, was read as "${written}": over ${lengthWords(limitMm, order)}, more than an edge shows there on a neck that is on its body (own judgement). ${ask} Turn nothing before you have looked again (${origin.source}, row ${origin.row}). If the board is not on the neck yet, say so above the table: stage: fretted board, not glued.`;
}

/** A tenth of what was written, where a zero too many or a point in the wrong place would make it so. */
function tenth(written: string): string | undefined {
  const [, digits = "", unit = ""] = /^(\d+0|\d+[.,]\d+)\s*(thou|mm|in)$/.exec(written) ?? [];
  return unit === "" ? undefined : `${Number((Number(digits.replace(",", ".")) / 10).toFixed(5))} ${unit}`;
}
