import type { Neck } from "../neck/neck.js";
import type { UnitOrder } from "../units/words.js";
import { surveyNeck } from "./neck.js";
import { whileSaying } from "./outlet.js";
import { plainly } from "./plainly.js";
import { show } from "./show.js";
import { tellVerdict } from "./tell.js";
import { wordsOf } from "./words.js";

/**
 * A quick look in one cell: three readings or more give the verdict and the drawing.
 *
 *     quickLook(neck, `
 *       fret  centre
 *       1     touch
 *       7     6
 *       16    touch
 *     `);
 *
 * Lay the edge on fret 1 and the body joint and read one gap near the middle.
 * @param order which unit stands first; mm unless said
 * @throws {Error} listing everything in the table that cannot be read
 */
export function quickLook(neck: Neck, table: string, order: UnitOrder = "mm first"): void {
  plainly(() => {
    const survey = surveyNeck(neck, table);
    tellVerdict(whileSaying("Weighing what the readings say", () => wordsOf(survey, order)), survey);
    show(survey, { order });
  });
}
