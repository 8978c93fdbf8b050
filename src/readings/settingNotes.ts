import type { Entry } from "./draft.js";
import { placeWords } from "./entries.js";
import type { EdgeSetting, Gap, GapReading, NeckState, Surface, Tool } from "./reading.js";
import { isFreeBoard } from "./state.js";
import { toolWords } from "./tools.js";
import { smallWords } from "../units/words.js";

const FREE_BOARD_SURFACES: ReadonlySet<Surface> = new Set(["fretTops", "wood"]);
const EDGES: ReadonlySet<Tool["kind"]> = new Set(["straightedge", "notched", "rocker", "endBlocks"]);

/** What a thin free board under an edge is warned of; a board on its side is stiff enough. */
export function freeBoardNotes(stage: string, state: NeckState, settings: readonly EdgeSetting[]): readonly string[] {
  const onItsSide = /\b(side|edge)\b/i.test(state.support ?? "");
  if (onItsSide || !isFreeBoard(stage, state)) return [];
  const first = settings.find((setting) => EDGES.has(setting.tool.kind) && FREE_BOARD_SURFACES.has(setting.surface));
  if (first === undefined) return [];
  return [`${first.label}: a thin free board bends under an edge that stands on it (about 0.15 mm, 6 thou, a newton for a 6 mm board): read it with the board on its side`];
}

/** What leaves leave open: where the thinnest does not go, anything below it may be. */
export function assumedBelowThinnest(entries: readonly Entry[]): readonly string[] {
  const thinnestMm = entries.flatMap(({ reading }) => {
    const leafMm = reading.used.leaves?.leavesMm[0];
    const isBelow = reading.kind === "mark" ? !reading.mark.rocks : reading.gap.kind === "interval" && reading.gap.highMm === leafMm;
    return isBelow && leafMm !== undefined ? [leafMm] : [];
  });
  return [...new Set(thinnestMm)].map((leafMm) => `leaves cannot tell what is below the thinnest of them: where it does not go, and where the rocker is still, any gap of up to ${smallWords(leafMm)} is taken as possible`);
}

/** What was taken for the uncertainty of numbers that stood without ±. */
export function assumedUncertainty(entries: readonly Entry[]): readonly string[] {
  return entries.flatMap(({ reading, tool }) => (reading.used.takenUMm === undefined ? [] : [`${toolWords(tool).replace(/^the /, "")}: readings without ±, taken as ±${smallWords(reading.used.takenUMm)} (common practice, no source)`]));
}

/**
 * An edge at rest bears on each side of its middle; that it bears at an unread place is not an error, but worth a question. An edge that is
 * pressed down beside a crest, or balanced on one, is held by what it touches and asks nothing: two places that touch say how a rigid edge lies, and
 * where both are at one end, the gaps that widen from there to the other say that it was pressed.
 */
export function contactNotes(setting: EdgeSetting): readonly string[] {
  if (setting.path.kind !== "along" || setting.surface === "underCrown" || (setting.tool.kind !== "straightedge" && setting.tool.kind !== "notched")) return [];
  const { readings } = setting;
  if (readings.length < 2) return [];
  const firstMm = readings.reduce((least, reading) => Math.min(least, reading.place.xMm), Number.POSITIVE_INFINITY);
  const lastMm = readings.reduce((most, reading) => Math.max(most, reading.place.xMm), 0);
  const middleMm = (firstMm + lastMm) / 2;
  const touchedMm = readings.filter((reading) => !excludesContact(reading.gap)).map((reading) => reading.place.xMm);
  if (isHeld(touchedMm, firstMm, lastMm)) return [];
  const inOrder = [...readings].sort((a, b) => a.place.xMm - b.place.xMm);
  const sides = [inOrder.filter((reading) => reading.place.xMm <= middleMm), inOrder.filter((reading) => reading.place.xMm >= middleMm)];
  const isPressed = (side: readonly GapReading[]): boolean => touchedMm.length > 1 && widensOutward(side[0]?.place.xMm === firstMm ? [...side].reverse() : side);
  return sides.filter((side) => side.every((reading) => excludesContact(reading.gap)) && !isPressed(side)).slice(0, 1).map((side) => {
    const labels = side.map((reading) => placeWords(reading.place.label));
    const where = labels.length === 1 ? `at ${labels[0]}` : `from ${labels[0]} to ${labels.at(-1)}`;
    return `${setting.label}: every reading ${where} is clear of the edge, yet unless you pressed it down at the other end it bears somewhere on that side: find where it touches and write "touch" there`;
  });
}

/** Balanced: it touches in the middle third of what was read. Pressed: it touches at two places that are not beside each other. */
function isHeld(touchedMm: readonly number[], firstMm: number, lastMm: number): boolean {
  const spanMm = lastMm - firstMm;
  const isBalanced = touchedMm.some((xMm) => xMm - firstMm >= spanMm / 3 && lastMm - xMm >= spanMm / 3);
  return isBalanced || Math.max(...touchedMm) - Math.min(...touchedMm) > spanMm / 6;
}

/** Over a high middle the gaps grow all the way from the end that is pressed down; over a hollow they close again before the edge bears. */
function widensOutward(outward: readonly GapReading[]): boolean {
  const leastMm = outward.map(({ gap }) => (gap.kind === "interval" ? gap.lowMm : gap.gapMm));
  return leastMm.every((mm, index) => index === 0 || mm >= (leastMm[index - 1] ?? 0));
}

function excludesContact(gap: Gap): boolean {
  return gap.kind === "interval" ? gap.lowMm > 0 : gap.gapMm > 3 * gap.uMm;
}
