import { believedDraws } from "../../bow/calibration/belief.js";
import type { BowObservation } from "../../bow/calibration/calibrate.js";
import type { BowUnknowns } from "../../bow/unknowns/unknowns.js";
import type { BowModel } from "../../bow/model/bowModel.js";
import { drawWork, prepareWork } from "../../bow/sequence/draw.js";
import { rangeOf } from "../../bow/uncertainty/range.js";
import type { Measured } from "../../units/measured.js";
import type { RodTest } from "./rodTest.js";
import type { RodQuestion } from "./rodQuestion.js";

const DRAWS = 400;
const SEED = 9_1;

/**
 * What the bow model knows for rod advice: what strings will add, what a turn moves, and the shape of it.
 * @param model calibrated by this neck's own readings, or by book values alone; its ranges come along
 * @param strings true where the survey was read bare and the neck will be strung
 */
export function rodQuestionOf(model: BowModel, strings: boolean): Pick<RodQuestion, "strings" | "stringsDrawsMm" | "stringsShape" | "perTurn" | "shape"> {
  return { ...(strings ? stringsOf(model) : {}), ...rodOf(model) };
}

/**
 * What a rod test teaches the bow model: relief that a turn past the dead zone takes away, to be handed to `calibrated`.
 * @returns undefined where the test does not show that the rod works toward back bow, or where the neck file has no rod
 */
export function rodObservation(test: RodTest, model: BowModel): BowObservation | undefined {
  if (test.towardBackBow.status !== "works" || model.setup.rod === undefined) return undefined;
  const predictMm = (unknowns: BowUnknowns): number => 0 - model.prediction({ frets: "after glue-up", rodTurns: 1 + unknowns.rodDeadZoneTurns }, "rod")(unknowns) + model.prediction({ frets: "after glue-up" })(unknowns);
  return { of: "a turn of the rod", measured: test.towardBackBow.perTurn, predictMm };
}

function stringsOf(model: BowModel): Pick<RodQuestion, "strings" | "stringsDrawsMm" | "stringsShape"> {
  const prepared = prepareWork(model.setup, { frets: "after glue-up", strings: true });
  const index = prepared.causes.findIndex(({ stage }) => stage === "strings");
  const drawsMm = believedDraws(model.belief, DRAWS, SEED).map((unknowns) => drawWork(prepared, unknowns)[index] ?? 0);
  return { strings: rangeOf(drawsMm), stringsDrawsMm: drawsMm, stringsShape: model.strings().profile };
}

function rodOf(model: BowModel): Pick<RodQuestion, "perTurn" | "shape"> {
  if (model.setup.rod === undefined) return {};
  const { range, profile } = model.rodPerTurn();
  return { ...(range === undefined ? {} : { perTurn: taken(range) }), shape: profile };
}

/** What a turn tighter takes away, above 0. */
function taken({ value, u, unit, low95, high95 }: Measured): Measured {
  return { value: -value, u, unit, low95: -high95, high95: -low95 };
}
