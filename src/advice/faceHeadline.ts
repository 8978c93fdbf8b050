import { faceRelief } from "../shape/faceRelief.js";
import type { UnderFace } from "../shape/faceRelief.js";
import { isOpen } from "../shape/drawn.js";
import { SURFACE_WORDS } from "../shape/faceBow.js";
import type { Relief } from "../shape/relief.js";
import type { Survey } from "../survey/survey.js";
import { bowWords } from "../units/words.js";

const FACES: readonly UnderFace[] = ["glueFace", "underside"];

/** How the faces read from below lie, in words for a headline; undefined where none is determined. */
export function faceHeadline(survey: Survey): string | undefined {
  const told = FACES.map((surface) => faceRelief(survey, surface)).flatMap((face) => (face.status === "determined" ? [`its ${SURFACE_WORDS[face.surface]} ${isOpen(face.relief) ? "is straight within what was read" : `has ${bowWords(face.relief.value)}`}`] : []));
  if (told.length === 0) return undefined;
  const tops = readOnTop(survey) ? "the fret tops are not yet determined" : "the fret tops were not read";
  return `${survey.neck.name}: ${told.join(", ")}; ${tops}.`;
}

/** Reliefs to tell: those of lines of which only a face was read are no gap in the readings, and a free board must not be read with an edge on its frets. */
export function reliefsToTell(survey: Survey, relief: readonly Relief[]): readonly Relief[] {
  const onlyFaces = !readOnTop(survey) && FACES.some((surface) => faceRelief(survey, surface).status === "determined");
  return onlyFaces ? relief.filter(({ status }) => status === "determined") : relief;
}

function readOnTop({ sheet }: Survey): boolean {
  return sheet.rockers.length > 0 || sheet.settings.some(({ surface }) => surface === "fretTops" || surface === "wood");
}
