import type { Neck } from "../../neck/neck.js";
import { magnitude } from "../../shape/drawn.js";
import { capital } from "../../units/text.js";
import { lengthWords, measuredWords, type UnitOrder } from "../../units/words.js";
import { rangeWords } from "../effect.js";
import { bowModel, type BowModel, type BowModelOptions } from "../model/bowModel.js";
import type { BowUnknownName } from "../unknowns/unknowns.js";
import { believedValues, type BelievedValue } from "./belief.js";
import { calibrated, type BowCalibration, type BowFit } from "./calibrate.js";
import { observationOf, type BowReading } from "./readings.js";
import { unknownRangeWords } from "./unknownWords.js";

/** What one unknown was believed to be before the readings, and after. */
export type LearntValue = { readonly name: BowUnknownName; readonly what: string; readonly unit: string; readonly before: BelievedValue; readonly after: BelievedValue; /** Width of the interval left, as a share of what it was. */ readonly left: number };

/** What a neck's readings taught of it; `model` works with it. */
export type LearntBow = BowCalibration & { readonly neck: Neck; readonly model: BowModel; readonly values: readonly LearntValue[]; readonly assumed: readonly string[]; readonly describe: (order?: UnitOrder) => string };

/** What an unknown is called at the bench, and its unit where it is no factor. */
const NAMES: Readonly<Record<BowUnknownName, { readonly what: string; readonly unit: string }>> = {
  boardStiffness: { what: "stiffness of the board, times the book's", unit: "" }, neckStiffness: { what: "stiffness of the neck, times the book's", unit: "" },
  interferenceMm: { what: "tang thicker than its slot by", unit: "mm" }, contactStiffnessNmm3: { what: "how hard a tang bears on its slot", unit: "N/mm3" },
  crushingMPa: { what: "pressure at which a slot's face yields", unit: "MPa" }, neckFaceBowMm: { what: "forward bow (middle low) of the neck's gluing face before glue-up", unit: "mm" },
  rodResponse: { what: "bow per turn of the rod, times that of its geometry", unit: "" }, rodDeadZoneTurns: { what: "turns before the rod bears", unit: "turns" },
  stringTension: { what: "string tension, times what was worked out", unit: "" }, stringHeightMm: { what: "string height, over what was worked out", unit: "mm" },
  boardSeasonStrain: { what: "lengthening of the board between the seasons", unit: "" }, neckSeasonStrain: { what: "lengthening of the neck's wood between the seasons", unit: "" },
  settling: { what: "growth under lasting load, times", unit: "" },
};

/**
 * Learns a neck from its own readings, whatever stages they were taken at: what is believed of each unknown before and after, side by side, and a model
 * that predicts with it.
 * @param readings of this neck; each names its stage and the order of work until then
 * @param options as for `bowModel`; `belief` is what was believed before, so that a batch's next neck starts from the last
 * @throws {RangeError} a reading that determines nothing, or a stage that its order of work does not have
 */
export function learnBow(neck: Neck, readings: readonly BowReading[], options: BowModelOptions = {}): LearntBow {
  const before = bowModel(neck, options);
  const found = calibrated(before.belief, readings.map((reading) => observationOf(before.setup, reading)));
  const [was, is] = [believedValues(found.before), believedValues(found.after)];
  const values = was.flatMap((value, index) => {
    const after = is[index];
    const width = value.high95 - value.low95;
    return after === undefined || width <= 0 ? [] : [{ name: value.name, ...NAMES[value.name], before: value, after, left: (after.high95 - after.low95) / width }];
  });
  const learnt = { ...found, neck, values, model: bowModel(neck, { ...options, belief: found.after }), assumed: before.assumed };
  return { ...learnt, describe: (order: UnitOrder = "mm first") => learntWords(learnt, order) };
}

/** Narrowed to less than this share counts as learnt. */
const LEARNT = 0.85;

function learntWords({ neck, fits, values, misfit }: Omit<LearntBow, "describe">, order: UnitOrder): string {
  const learnt = values.filter(({ left }) => left < LEARNT).sort((a, b) => a.left - b.left);
  return [
    `${neck.name}: ${fits.length} reading${fits.length === 1 ? "" : "s"} of its bow ${learnt.length === 0 ? "taught little that was not believed before" : `narrowed ${learnt.length} of ${values.length} unknowns`}.`,
    ...fits.map((fit) => fitWords(fit, order)),
    ...learnt.map(({ what, unit, before, after }) => `${capital(what)}: ${unknownRangeWords(before, unit, order)} before, ${unknownRangeWords(after, unit, order)} now.`),
    ...(misfit.isLarge ? ["These readings do not fit what the model believes possible: less than one neck in a hundred would read so. Check the sign (back bow is below 0), sizes, stages and order of work that were given, and read once more."] : []),
  ].join("\n");
}

function fitWords({ of, measured, before, after }: BowFit, order: UnitOrder): string {
  const read = `${measured.value < 0 ? "back bow (middle high)" : "forward bow (middle low)"}, ${measuredWords(magnitude(measured), order)}`;
  const off = Math.abs(after.value - measured.value);
  return `${capital(of)}: read ${read}; expected before ${rangeWords(before, order)}; the model now passes ${off < 0.005 ? "through it" : `within ${lengthWords(off, order)} of it`}.`;
}
