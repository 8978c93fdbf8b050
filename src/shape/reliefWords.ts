import { bothBowsWords, bowWords, measuredWords } from "../units/words.js";
import type { UnitOrder } from "../units/words.js";
import { isOpen, magnitude } from "./drawn.js";
import type { Relief } from "./reliefDefinition.js";
import { named, spanWords } from "./span.js";

type Determined = Omit<Extract<Relief, { status: "determined" }>, "describe">;

/** What is left unsaid below this: which way it bows is then called open. */
const TELLING = 0.8;

/** Where, how much and which way, give or take. */
export function reliefWords(relief: Determined, order: UnitOrder): string {
  const where = `${named(relief.line)}, ${spanWords(relief)}`;
  const much = measuredWords(magnitude(relief.relief), order);
  if (relief.definition === "gapBelow") return `${where}: under a straight edge resting on the fret tops the largest gap is ${much}, at fret ${relief.at.label}. A back bow does not show this way.`;
  const what = { neckLine: "", chordExtreme: "fret tops against the chord of the end frets: ", fret1ToJointMiddle: `fret ${relief.at.label} under a string held down at frets ${relief.from.label} and ${relief.to.label}: ` }[relief.definition];
  if (isOpen(relief.relief)) {
    const way = Math.max(relief.probabilityForward, 1 - relief.probabilityForward);
    const likely = way < TELLING ? "which way it bows is open" : `probably ${bowWords(relief.relief.value)}`;
    return `${where}: ${what}straight within what was read, ${likely}: ${bothBowsWords(relief.relief, order) ?? much}.`;
  }
  const most = relief.definition === "fret1ToJointMiddle" ? "" : `, most at fret ${relief.at.label}`;
  return `${where}: ${what}${bowWords(relief.relief.value)}, ${much}${most}.`;
}

/** What is missing, and the reading that would fix it. */
export function undeterminedWords(line: string, need: string, what = ""): string {
  return `${named(line)}${what === "" ? "" : `, ${what}`}: not determined by these readings. To fix it: ${need}.`;
}
