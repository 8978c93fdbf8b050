import { fretDistanceMm } from "../neck/frets.js";
import type { Face, HeightTerm, Survey } from "../survey/survey.js";
import type { Measured } from "../units/measured.js";
import { bowWords, measuredWords } from "../units/words.js";
import type { UnitOrder } from "../units/words.js";
import { isOpen, magnitude } from "./drawn.js";
import { SURFACE_WORDS } from "./faceBow.js";
import { nearestTop, scaled } from "./span.js";

/** A face that is read from below: the board's gluing face, or the neck's underside. */
export type UnderFace = "glueFace" | "underside";

/** Relief at the middle of such a face, the mean of all lines it was read on. */
export type FaceRelief =
  | {
      readonly status: "determined";
      readonly surface: UnderFace;
      /** mm; positive is forward bow (middle low, toward the neck's back), as on the board's top: a board of even thickness has the same relief on both. */
      readonly relief: Measured;
      /** The fret nearest to the middle. */
      readonly at: string;
      readonly atMm: number;
      readonly lines: readonly string[];
      /** What was asked of the survey, for `linear`, `draws` and `nextReading`. */
      readonly terms: readonly HeightTerm[];
      readonly describe: (order?: UnitOrder) => string;
    }
  | { readonly status: "undetermined"; readonly surface: UnderFace; readonly need: string; readonly describe: (order?: UnitOrder) => string };

/** A shorter stretch says nothing of how a whole face lies. */
const LEAST_SHARE = 0.5;

/**
 * Relief at the middle of the gluing face or the underside, from gaps between it and the tool it lies on (bench plate, straightedge), each line against the chord of its own
 * ends; mean of all lines. Its sign is that of the board's top: positive, forward bow (middle low), where the middle lies nearer to the tool below than the ends do.
 * @param survey what `adjust` gave
 * @param surface which face
 */
export function faceRelief(survey: Survey, surface: UnderFace): FaceRelief {
  const isWhole = ({ from, to, heights }: Face): boolean => heights.length > 2 && to.xMm - from.xMm >= LEAST_SHARE * fretDistanceMm(survey.neck.scaleLengthMm, survey.neck.bodyJoint ?? survey.neck.frets);
  const faces = survey.faces.filter((face) => face.surface === surface && isWhole(face));
  const [first] = faces;
  const terms = faces.flatMap((face) => scaled(-1 / faces.length, middleOverChord(face, surface)));
  if (first === undefined || !survey.determines(terms)) return withoutFace(survey, surface);
  const at = nearestTop(survey.neck, middleMm(first));
  const found = { status: "determined", surface, relief: survey.linear(terms), at: at.label, atMm: middleMm(first), lines: faces.map(({ line }) => line), terms } as const;
  return { ...found, describe: (order: UnitOrder = "mm first") => words(found, order) };
}

function middleMm({ from, to }: Face): number {
  return (from.xMm + to.xMm) / 2;
}

function middleOverChord(face: Face, of: UnderFace): readonly HeightTerm[] {
  const at = (xMm: number, weight: number): HeightTerm => ({ of, line: face.line, xMm, weight });
  return [at(middleMm(face), 1), at(face.from.xMm, -0.5), at(face.to.xMm, -0.5)];
}

function withoutFace({ neck }: Survey, surface: UnderFace): FaceRelief {
  const end = neck.bodyJoint === undefined ? `fret ${neck.frets}` : `fret ${neck.bodyJoint}`;
  const [how, tool] = surface === "glueFace" ? ["lay the free board, face up, on a bench plate", "plate"] : ["lay the straightedge along the underside", "edge"];
  const need = `${how}, and read the gap to the ${tool} at both ends (fret 1 and ${end}) and midway between them`;
  return { status: "undetermined", surface, need, describe: () => `The ${SURFACE_WORDS[surface]}: not determined by these readings. To fix it: ${need}.` };
}

function words({ surface, relief, at, lines }: Omit<Extract<FaceRelief, { relief: Measured }>, "describe">, order: UnitOrder): string {
  const way = isOpen(relief) ? "straight within what was read" : bowWords(relief.value);
  return `The ${SURFACE_WORDS[surface]}: ${way}, ${measuredWords(magnitude(relief), order)} at its middle, near fret ${at}${lines.length > 1 ? `, mean of ${lines.length} lines` : ""}.`;
}
