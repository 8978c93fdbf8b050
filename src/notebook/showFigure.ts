import type { Figure } from "../figures/figure.js";
import { drawnLater, drawnNow, libraryLater, libraryNow } from "./drawing.js";
import { figureHtml, stillImage } from "./figureHtml.js";
import { newSlot, sendHtml, type Slot } from "./outlet.js";

/** The last figures' library moves when no other figure has come for so long, ms: sent with each of them it would be most of what a run sends. */
const AT_REST_MS = 1500;

let library: Slot | undefined;
let move: NodeJS.Timeout | undefined;

/**
 * Shows a figure under the running cell: live at once; its still picture, which is what stays where scripts are not allowed, follows when it is drawn.
 * The plotting library goes with the first figure and, once no more come, with the one that was shown last, and is taken
 * away from the one before: so the saved notebook holds it exactly once, whichever cells are run again.
 * With the environment variable `NECK_SURVEY_FIGURES=still` only still pictures are shown.
 */
export function showFigure(figure: Figure): void {
  if (process.env["NECK_SURVEY_FIGURES"] === "still") {
    sendHtml(stillImage(figure, drawnNow(figure)), figure.alt);
    return;
  }
  const html = figureHtml(figure);
  sendHtml(html.live, figure.alt);
  const slot = newSlot();
  if (slot === undefined) return; // not in a notebook: the words above are all there is to show
  slot.html("");
  void drawnLater(figure).then((svg) => slot.html(html.still(svg)), () => undefined); // the live figure stands without it
  sendLibrary();
}

function sendLibrary(): void {
  const slot = newSlot();
  if (slot === undefined) return;
  clearTimeout(move);
  if (library === undefined) return putLibrary(slot);
  slot.html("");
  move = setTimeout(() => putLibrary(slot), AT_REST_MS).unref();
}

function putLibrary(slot: Slot): void {
  library?.html("");
  library = slot;
  const html = libraryNow();
  slot.html(html ?? "");
  if (html === undefined) void libraryLater().then((packed) => (library === slot ? slot.html(packed) : undefined));
}
