import { limitsOf } from "../neck/limits.js";
import type { Survey } from "../survey/survey.js";
import type { Measured } from "../units/measured.js";
import { lengthWords, measuredWords } from "../units/words.js";
import type { UnitOrder } from "../units/words.js";
import { isOpen, magnitude } from "./drawn.js";
import { allTops } from "./span.js";
import type { TopPlace } from "./span.js";

/** Twist of the neck line from its first to its last fret read: how far the treble side is turned up toward the last one, mm over the board's width there. */
export type Twist =
  | {
      readonly status: "determined";
      readonly twist: Measured;
      readonly from: TopPlace;
      readonly to: TopPlace;
      /** Whether it is within the shop's limit: surely, surely not, or open. */
      readonly within: "yes" | "no" | "open";
      readonly describe: (order?: UnitOrder) => string;
    }
  | { readonly status: "undetermined"; readonly need: string; readonly describe: (order?: UnitOrder) => string };

/**
 * Twist of a neck, where readings from line to line fix it: sighting bars, or both diagonals. Settings along the neck see none, nor do edges laid across, whose tilt is free.
 * @param survey what `adjust` gave
 */
export function twistOfNeck(survey: Survey): Twist {
  if (survey.twist.status === "undetermined") {
    const { need } = survey.twist;
    return { status: "undetermined", need, describe: () => `Twist: not determined by these readings. To fix it: ${need}.` };
  }
  const read = survey.sheet.settings.flatMap(({ path, readings }) => [...readings.map(({ place }) => place), ...(path.kind === "diagonal" ? [path.from.at, path.to.at] : [])]).map(({ xMm }) => xMm);
  const reached = allTops(survey.neck).filter(({ fret, xMm }) => fret > 0 && xMm > Math.min(...read) - 0.01 && xMm < Math.max(...read) + 0.01);
  const [from, to] = [reached[0], reached.at(-1)];
  if (from === undefined || to === undefined || from.fret === to.fret) return { status: "undetermined", need: "read fret tops near both ends of the neck", describe: () => "Twist: not determined by these readings. To fix it: read fret tops near both ends of the neck." };
  const twist = survey.linear(survey.twist.between(from.xMm, to.xMm));
  const limitMm = limitsOf(survey.neck).twistMaxMm;
  const within = Math.max(Math.abs(twist.low95), Math.abs(twist.high95)) <= limitMm ? "yes" : twist.low95 > limitMm || twist.high95 < -limitMm ? "no" : "open";
  const found = { status: "determined", twist, from, to, within } as const;
  return { ...found, describe: (order: UnitOrder = "mm first") => words(found, limitMm, order) };
}

function words({ twist, from, to, within }: Omit<Extract<Twist, { twist: Measured }>, "describe">, limitMm: number, order: UnitOrder): string {
  const much = measuredWords(magnitude(twist), order);
  const way = `turned up at the ${twist.value < 0 ? "bass" : "treble"} side toward fret ${to.label}`;
  const which = isOpen(twist) ? `none to be sure of, best estimate ${way} by ${much}` : `${way} by ${much}`;
  const limit = { yes: "within", no: "over", open: "perhaps over" }[within];
  return `Twist from fret ${from.label} to fret ${to.label}: ${which} over the board's width at fret ${to.label}; ${limit} the limit of ${lengthWords(limitMm, order)}.`;
}
