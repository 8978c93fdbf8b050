import type { Place } from "../readings/reading.js";
import type { Face, Height, Survey } from "../survey/survey.js";
import { NORMAL_95 } from "../units/measured.js";
import { bowWords, measuredWords } from "../units/words.js";
import { capital } from "../units/text.js";
import type { UnitOrder } from "../units/words.js";

/** Surfaces in a builder's words. */
export const SURFACE_WORDS: Readonly<Record<Height["surface"], string>> = { fretTops: "fret tops", wood: "bare wood", underCrown: "under the crowns", underside: "underside", glueFace: "glue face" };

/** The place of a face that lies farthest from its chord: positive bow is forward bow (middle low, toward the neck's back). */
export type FaceBow = {
  readonly surface: Height["surface"];
  readonly line: string;
  readonly at: Place;
  readonly bowMm: number;
  readonly uMm: number;
  readonly describe: (order?: UnitOrder) => string;
};

/** How a surface read beside the fret tops (bare wood, underside, glue face) lies against its own chord, by the read place farthest from it. */
export function faceBows(survey: Pick<Survey, "faces">): readonly FaceBow[] {
  return survey.faces.flatMap((face): FaceBow[] => {
    const deepest = face.heights.reduce<Height | undefined>((best, height) => (best === undefined || Math.abs(height.heightMm) > Math.abs(best.heightMm) ? height : best), undefined);
    if (deepest === undefined) return [];
    const found = { surface: face.surface, line: face.line, at: deepest.place, bowMm: -deepest.heightMm, uMm: deepest.uMm };
    return [{ ...found, describe: (order: UnitOrder = "mm first") => faceWords(face, found, order) }];
  });
}

function faceWords(face: Face, { bowMm, uMm, at }: Omit<FaceBow, "describe">, order: UnitOrder): string {
  const take = NORMAL_95 * uMm;
  const size = measuredWords({ value: Math.abs(bowMm), u: uMm, unit: "mm", low95: Math.abs(bowMm) - take, high95: Math.abs(bowMm) + take }, order);
  const what = Math.abs(bowMm) < take ? "straight within what was read" : bowWords(bowMm);
  return `${capital(SURFACE_WORDS[face.surface])}, ${face.line} line, ${face.from.label} to ${face.to.label}: ${what}, ${size}, most at ${at.label}.`;
}
