import { didNotHold } from "./seating.js";
import type { FretAction, FretState } from "./finding.js";
import type { LookUnderCrown } from "./underCrown.js";
import type { FretZone } from "./zones.js";

/** From this probability a fret is dealt with as high. */
const LIKELY = 0.5;
/** Between these it is open whether a fret is over the limit; a reading that would settle it comes first. */
export const NEARLY_NOT = 0.05;
const NEARLY_SURE = 0.95;

/**
 * What to do with a fret. Nothing is done to a fret that stands as intended or is under the limit more likely than not; where it is open and
 * one named reading would settle it, that comes first. A high fret is seated only where a gap under its crown was seen, and levelled only where
 * none was; without that look the look comes first. One right beside an open zone is looked into with the zone. Readings that contradict each other, or that a bow or a hump of the joint explains as well, come before all of it. One that came up again, or did not go down, is pulled and refitted.
 * @param limitMm the height from which a fret counts as high
 */
export function actionOf(state: FretState, limitMm: number): FretAction {
  const { probabilityOver, settling, zone, beside, looks, seating } = state;
  if (zone !== undefined) return zone.reason === "open" && state.atHump ? { do: "look at the joint" } : zoneAction(state, zone, limitMm);
  const doubt = doubtOf(state);
  if (doubt !== undefined) return doubt;
  if (beside !== undefined && isOver(state) && looks.length === 0 && !seating.some(didNotHold)) return { do: "look into the zone", zone: beside };
  const open = probabilityOver > NEARLY_NOT && probabilityOver < NEARLY_SURE;
  if (open && settling !== undefined) return { do: "read", reading: settling, why: "over the limit or not" };
  if (!isOver(state)) return { do: "leave", why: leaveWhy(state) };
  if (state.fret === 0 && looks.every(({ seen }) => seen !== "gap") && !seating.some(didNotHold)) return { do: "leave", why: "zero fret" };
  const failed = seating.find(didNotHold);
  if (failed !== undefined) return { do: "pull and refit", outcome: failed.outcome };
  const seated = seating.find(({ outcome }) => outcome === "stayed down");
  if (seated !== undefined) return { do: "read", reading: rocked(state, seated.line), why: "tapped since" };
  return byLook(state, limitMm);
}

/** What was read of a fret may contradict itself, or say two things alike: read first what tells. */
function doubtOf(state: FretState): FretAction | undefined {
  const [contradicted] = state.contradicted;
  if (state.isUnread) return { do: "read", reading: rocked(state, state.told.line), why: "not read" };
  if (contradicted !== undefined) return { do: "read", reading: { ...rocked(state, contradicted.line), tool: contradicted.read === "rocker" ? "rocker" : "straightedge" }, why: "contradictory" };
  if (state.unsplit) return { do: "read", reading: rocked(state, state.told.line), why: "bow or high" };
  if (state.atHump && (isOver(state) || state.probabilityOver > HUMP_OPEN)) return { do: "look at the joint" };
  if (isOver(state) || state.class === "low") return undefined;
  const [rocks] = state.rocksUnread;
  if (rocks !== undefined) return { do: "read", reading: rocked(state, rocks), why: "rocks, no leaf" };
  const up = state.seating.find(({ outcome }) => outcome === "came up again" || outcome === "did not go down");
  return up === undefined ? undefined : { do: "read", reading: rocked(state, up.line), why: "the log says otherwise" };
}

/** From this probability a fret on a hump is not called as intended (own choice). */
const HUMP_OPEN = 0.25;

function rocked(state: FretState, line: string): Extract<FretAction, { do: "read" }>["reading"] {
  return { tool: "rocker", line, at: placeOn(state) };
}

/** Whether a fret is over the limit more likely than not. */
export function isOver({ class: stands, probabilityOver }: Pick<FretState, "class" | "probabilityOver">): boolean {
  return stands !== "as intended" && stands !== "low" && probabilityOver > LIKELY;
}

function leaveWhy({ class: stands, probabilityOver, hardlyRead }: FretState): Extract<FretAction, { do: "leave" }>["why"] {
  if (stands === "low") return "low";
  if (probabilityOver <= NEARLY_NOT) return "as intended";
  return hardlyRead ? "hardly read" : "under the limit more likely than not";
}

/** What looks under the crown decide: a gap on a line that is off, or, for a fret that is high all across, anywhere under it; no gap on a line that is off. */
function byLook({ looks, off, told, class: stands }: FretState, limitMm: number): FretAction {
  const here = looks.filter(({ line }) => off.includes(line));
  const gaps = (stands === "high" ? looks : here).filter(({ seen }) => seen === "gap");
  if (gaps.length > 0) return seatAction(gaps, told.high.value, limitMm);
  return here.length > 0 ? levelAction(here) : { do: "look under the crown", lines: [told.line] };
}

/** Frets of a zone go together: the reason of the zone first, then each as a high fret of its own. */
function zoneAction(state: FretState, zone: FretZone, limitMm: number): FretAction {
  if (zone.reason === "open") return { do: "look into the zone", zone };
  if (zone.reason === "board") return { do: "level", why: "raised board" };
  const failed = state.seating.find(didNotHold);
  if (failed !== undefined) return { do: "pull and refit", outcome: failed.outcome };
  const gaps = state.looks.filter(({ seen }) => seen === "gap");
  if (gaps.length > 0) return seatAction(gaps, zone.up.value, limitMm);
  return state.looks.length > 0 ? levelAction(state.looks) : { do: "look under the crown", lines: [state.told.line] };
}

/** A gap thinner than this is none to a fret that is tapped, mm (common practice, no source). */
const NO_AIR_MM = 0.01;

/** No gap was seen; a leaf that did not go leaves room for a thinner one. */
function levelAction(looks: readonly LookUnderCrown[]): FretAction {
  const gapAtMostMm = Math.max(...looks.map(({ atMostMm }) => atMostMm));
  return gapAtMostMm > NO_AIR_MM ? { do: "level", why: "no leaf goes", gapAtMostMm } : { do: "level", why: "no gap under the crown" };
}

function seatAction(gaps: readonly LookUnderCrown[], heightMm: number, limitMm: number): FretAction {
  const gapMm = Math.max(...gaps.map(({ atMostMm }) => atMostMm));
  return { do: "seat", lines: gaps.map(({ line }) => line), gapMm, leavesHigh: heightMm - gapMm > limitMm };
}

function placeOn({ told, fret }: FretState): { readonly label: string; readonly xMm: number; readonly fret: number } {
  return { label: String(fret), xMm: told.xMm, fret };
}
