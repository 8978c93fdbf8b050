import { percent } from "../../frets/fretWords.js";
import { lengthWords, type UnitOrder } from "../../units/words.js";
import type { Levelling } from "./levelling.js";
import type { Sufficiency } from "./sufficiency.js";

/** The wire's stated height, mm, where every crown stands on it and none was measured. */
export function wireOnly({ crowns }: Levelling): number | undefined {
  const [first] = crowns;
  return crowns.every(({ from }) => from === "wire as stated") ? first?.heightMm : undefined;
}

/** What becomes of the crowns until every top is met, whether within the allowance or not, and on what that stands. */
export function crownWords(posed: Levelling, { probabilityCrowns, necks }: Sufficiency, order: UnitOrder): string {
  const wireMm = wireOnly(posed);
  const found = probabilityCrowns === 1 ? `In none of ${necks} necks that the readings allow does a crown get too low` : `A crown gets too low before every top is met with a chance of ${percent(1 - probabilityCrowns)}`;
  return wireMm === undefined ? `${found}.` : `${found}, if the wire really is ${lengthWords(wireMm, order)} high. Gauge three crowns before you file.`;
}
