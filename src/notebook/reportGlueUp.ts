import type { GlueUpAdvice } from "../advice/glueUp/glueUpAdvice.js";
import { isFreeBoard } from "../readings/state.js";
import { compareSheets } from "../shape/compareSheets.js";
import type { Survey } from "../survey/survey.js";
import type { UnitOrder } from "../units/words.js";
import { adviseGlueUp } from "./rod.js";

/** Whether the last free board may be glued on as it lies; undefined where the last survey is of a neck. */
export function reportGlueUp(surveys: readonly Survey[], order: UnitOrder): GlueUpAdvice | undefined {
  const boards = surveys.filter(({ sheet }) => isFreeBoard(sheet.stage, sheet.state));
  const [before, board] = boards.length > 1 ? boards.slice(-2) : [undefined, boards[0]];
  if (board === undefined || board !== surveys.at(-1)) return undefined;
  const settled = before === undefined ? undefined : settledSince(before, board);
  return adviseGlueUp(board, { order, ...(settled === undefined ? {} : { settled }) });
}

/** That advice in the report: why, what to read first and the care to take; nothing of a neck. */
export function glueUpText(surveys: readonly Survey[], order: UnitOrder): readonly string[] {
  const advice = reportGlueUp(surveys, order);
  if (advice === undefined) return [];
  const { headline, reasons, readIfUnsure, cautions, numbers } = advice;
  const said = headline.replace(`${surveys.at(-1)?.neck.name ?? ""}: `, "");
  const byBooks = numbers?.remains === undefined ? [] : ["What should remain is by book values, for what the neck file does not say of woods, sizes and strings."];
  return ["", ["Gluing it on:", said, ...reasons, ...byBooks, ...readIfUnsure].join(" "), `Before you glue: ${cautions.join(" ")}`];
}

/** Whether two surveys of a board agree; undefined where they are too few to tell. */
function settledSince(before: Survey, board: Survey): boolean | undefined {
  const { status } = compareSheets(board.neck, before.sheet, board.sheet);
  return status === "settled" ? true : status === "moved" ? false : undefined;
}
