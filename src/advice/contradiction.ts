import { joined } from "../frets/lists.js";
import type { EdgeSetting, Gap } from "../readings/reading.js";
import { mannerOf } from "../survey/model/paths.js";
import type { Blunder, Survey } from "../survey/survey.js";
import { bowWords } from "../units/words.js";

/** Readings that contradict others of which any may be the slip; the likeliest was set aside. */
export function openContradictions({ blunders }: Pick<Survey, "blunders">): readonly Blunder[] {
  return blunders.filter(({ rivals }) => rivals.length > 0);
}

/** Readings that are plainly the slip, and were set aside alone. */
export function settledSlips({ blunders }: Pick<Survey, "blunders">): readonly Blunder[] {
  return blunders.filter(({ rivals }) => rivals.length === 0);
}

/** What hangs on which of several readings is the slip: nothing that is decided, only which frets stand off, or the bow itself. */
export type HangsOnIt = "nothing" | "frets" | "bow";

/**
 * That readings contradict each other and nothing tells which of several is the slip, and what that means; undefined where one is plainly the slip, or none.
 * As `readings of the centre line contradict each other: the first setting of the edge says back bow (middle high), the second forward bow (middle low). …`
 */
export function contradictionWords(survey: Survey, hangs: HangsOnIt): string | undefined {
  const open = openContradictions(survey);
  const [first] = open;
  if (first === undefined) return undefined;
  const lines = [...new Set(open.map(({ line }) => line))];
  const head = `readings of the ${joined(lines)} line${lines.length === 1 ? "" : "s"} contradict each other`;
  const ways = lines.flatMap((line) => oppositeWays(survey, line)).slice(0, MOST_NAMED);
  const which = ways.length > 0 ? `: ${ways.join(", ")}` : `, and any of ${first.rivals.length + 1} may be the slip`;
  const again = ways.length === 2 ? "both" : "they";
  return `${head}${which}. ${meaning(hangs, again)}`;
}

function meaning(hangs: HangsOnIt, again: string): string {
  if (hangs === "nothing") return "Whichever is left out, which way it bows and which frets stand off stay the same; what follows leaves one reading out. Read them again before you rely on an amount.";
  const wait = hangs === "bow" ? "Turn nothing and file nothing" : "Which frets stand off hangs on it: file nothing";
  return `${wait} before ${again} are read again: what follows leaves one reading out, and holds only if that one is the slip.`;
}

/** Whether settings of a line that contradict each other say by themselves that it bows to both sides: then it is not one reading that decides. */
export function saysBothWays(survey: Survey): boolean {
  return openContradictions(survey).some(({ line }) => oppositeWays(survey, line).length > 0);
}

/** So many settings are told by name. */
const MOST_NAMED = 4;

/** Which way each setting of an edge along a line says that it bows, where they do not all say the same; a dial bar reads a middle over its feet, no gap. */
function oppositeWays({ sheet }: Survey, line: string): readonly string[] {
  const told = sheet.settings.filter((setting) => setting.path.kind === "along" && setting.path.line === line && setting.surface === "fretTops" && mannerOf(setting) === "edge").flatMap((setting) => {
    const sign = ownWay(setting);
    return sign === 0 ? [] : [{ sign, label: setting.label.split(",")[0] ?? setting.label }];
  });
  if (new Set(told.map(({ sign }) => sign)).size < 2) return [];
  return told.map(({ sign, label }) => `the ${label} says ${bowWords(sign)}`);
}

/** What a setting says by itself of the bow between its outermost readings: above 0 forward, below 0 back, 0 where it leaves that open. */
function ownWay({ readings }: EdgeSetting): number {
  const inOrder = [...readings].sort((a, b) => a.place.xMm - b.place.xMm);
  const [first, last] = [inOrder[0], inOrder.at(-1)];
  if (first === undefined || last === undefined) return 0;
  const [one, other] = [boundsMm(first.gap), boundsMm(last.gap)];
  const depths = inOrder.slice(1, -1).map(({ place, gap }) => {
    const share = (place.xMm - first.place.xMm) / (last.place.xMm - first.place.xMm);
    const { low, high } = boundsMm(gap);
    return { low: low - (1 - share) * one.high - share * other.high, high: high - (1 - share) * one.low - share * other.low };
  });
  const [isForward, isBack] = [depths.some(({ low }) => low > 0), depths.some(({ high }) => high < 0)];
  return isForward === isBack ? 0 : Number(isForward) - Number(isBack);
}

/** Of a value with its uncertainty twice that to either side. */
function boundsMm(gap: Gap): { readonly low: number; readonly high: number } {
  return gap.kind === "interval" ? { low: gap.lowMm, high: gap.highMm } : { low: gap.gapMm - 2 * gap.uMm, high: gap.gapMm + 2 * gap.uMm };
}
