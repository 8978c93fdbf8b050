import type { Neck } from "../neck/neck.js";
import { jointHumps } from "../shape/jointHump.js";
import type { RockerReading } from "../readings/reading.js";
import type { Blunder, Survey } from "../survey/survey.js";

/** Frets that can rise with the body joint: one before it to two beyond it (own choice, no source). */
const BEFORE = 1;
const BEYOND = 2;

/** Readings of one fret that the adjustment set aside because all others contradict them. */
export function contradictedAt(survey: Pick<Survey, "blunders">, fret: number): readonly Blunder[] {
  return survey.blunders.filter(({ at }) => at === String(fret));
}

/** Rockings over one fret that say that it rocks and not by how much: no leaf was slid under the raised end. */
export function rocksWithoutLeaf({ sheet }: Pick<Survey, "sheet">, fret: number): readonly RockerReading[] {
  return sheet.rockers.filter(({ frets, deltaMm }) => frets[1] === fret && deltaMm.low >= 0 && deltaMm.high === Infinity);
}

/** Lines on which the neck line has a hump at the body joint, so that frets there may rise with the neck. */
export function humpedLines(survey: Survey): readonly string[] {
  return survey.neck.bodyJoint === undefined ? [] : jointHumps(survey).flatMap(({ status, line }) => (status === "hump" ? [line] : []));
}

/** Whether a fret lies where a hump of the body joint lifts it. */
export function isAtJoint({ bodyJoint }: Pick<Neck, "bodyJoint">, fret: number): boolean {
  return bodyJoint !== undefined && fret >= bodyJoint - BEFORE && fret <= bodyJoint + BEYOND;
}
