import { turned } from "../../shape/drawn.js";
import { faceRelief } from "../../shape/faceRelief.js";
import type { Survey } from "../../survey/survey.js";
import type { Measured } from "../../units/measured.js";
import { middleRelief } from "../rod/middleRelief.js";

/** Bow of a free board at its middle, mm; positive is forward bow. */
export type BoardBow =
  | { readonly status: "determined"; readonly relief: Measured; readonly where: string }
  | { readonly status: "undetermined"; readonly need: string };

/** From its fret tops, or from its glue face as it lay on a bench plate. */
export function boardBow(board: Survey): BoardBow {
  const tops = middleRelief(board);
  if (tops.status === "determined") return { status: "determined", relief: tops.relief, where: `at fret ${tops.at}` };
  const face = faceRelief(board, "glueFace");
  if (face.status === "determined") return { status: "determined", relief: face.relief, where: "in its middle, from its glue face" };
  return { status: "undetermined", need: "lay the board on a flat plate and read the gap under its middle, or stand it on its side and read under an edge; an edge laid on top would bend it" };
}

/**
 * Bow of the neck's own gluing face, from readings on it or on bare wood; undefined where they do not determine it. The neck's face looks up where the
 * board's looks down, so that the same gaps mean the other way.
 */
export function faceBowOf(neck: Survey): Measured | undefined {
  const face = faceRelief(neck, "glueFace");
  if (face.status === "determined") return turned(face.relief);
  const wood = middleRelief(neck);
  return wood.status === "determined" ? wood.relief : undefined;
}
