import type { Figure } from "../figures/figure.js";
import { figureHtml, stillImage } from "./figureHtml.js";
import { libraryHtml } from "./library.js";
import { newSlot, sendHtml, whileSaying, type Slot } from "./outlet.js";

let library: Slot | undefined;

/**
 * Shows a figure under the running cell. The plotting library goes with the figure that was shown last and is taken
 * away from the one before: so the saved notebook holds it exactly once, whichever cells are run again.
 * With the environment variable `NECK_SURVEY_FIGURES=still` only still pictures are shown.
 */
export function showFigure(figure: Figure): void {
  const isStill = process.env["NECK_SURVEY_FIGURES"] === "still";
  const html = whileSaying("Drawing", () => (isStill ? stillImage(figure) : figureHtml(figure)));
  sendHtml(html, figure.alt);
  const slot = isStill ? undefined : newSlot();
  if (slot === undefined) return;
  slot.html(libraryHtml());
  library?.html("");
  library = slot;
}
