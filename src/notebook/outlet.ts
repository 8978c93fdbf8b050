import { createRequire } from "node:module";

/** An output of a cell that can be overwritten later. */
export type Slot = { readonly html: (html: string) => void };
type Kernel = { readonly display: Slot; readonly newDisplay: () => Slot };
/** What a running kernel writes with, another one for every cell. */
type Transport = { readonly lastWriteDisplayData: unknown };

const require = createRequire(import.meta.url);

/** An output that says what is being worked out; the next output of the same cell takes its place. */
let waiting: { readonly slot: Slot; readonly cell: unknown } | undefined;

/**
 * Shows HTML under the running cell, in the place of what said that it was being worked out. Outside a notebook there is no cell: the plain text is printed instead.
 * @param html must already be escaped
 * @param text the same in plain words
 */
export function sendHtml(html: string, text: string): void {
  const kernel = runningKernel();
  if (kernel === undefined) {
    console.log(text);
    return;
  }
  const slot = waiting?.cell === runningCell() ? waiting?.slot : undefined;
  waiting = undefined;
  (slot ?? kernel.display).html(html);
}

/**
 * Says under the running cell that something is being worked out, does it, and takes the words away again; the cell's next output stands in their place.
 * Outside a notebook, and where only what is stored counts, nothing is said.
 * @param what plain text without markup, as `Working out six surveys together`
 */
export function whileSaying<T>(what: string, work: () => T): T {
  const slot = sayWaiting(what);
  try {
    return work();
  } finally {
    slot?.html("");
  }
}

/** As `whileSaying`, for work that is waited for. */
export async function whileSayingLater<T>(what: string, work: () => Promise<T>): Promise<T> {
  const slot = sayWaiting(what);
  try {
    return await work();
  } finally {
    slot?.html("");
  }
}

function sayWaiting(what: string): Slot | undefined {
  if (process.env["NECK_SURVEY_FIGURES"] === "still") return undefined;
  const cell = runningCell();
  const slot = cell !== undefined && waiting?.cell === cell ? waiting.slot : newSlot();
  if (slot === undefined) return undefined;
  slot.html(`<p style="color:#6b675c;font-style:italic">${what} …</p>`);
  waiting = { slot, cell };
  return slot;
}

/** A new output under the running cell that can be overwritten from any later cell; undefined outside a notebook. */
export function newSlot(): Slot | undefined {
  return runningKernel()?.newDisplay();
}

/** True under a cell of a notebook. */
export function isInKernel(): boolean {
  return runningCell() !== undefined;
}

/** The notebook kernel this code runs in, if any. It is not loaded from here: where it is not running there is nothing to show to. */
function runningKernel(): Kernel | undefined {
  try {
    if (runningCell() === undefined) return undefined;
    const kernel: unknown = require("tslab");
    return isKernel(kernel) ? kernel : undefined;
  } catch {
    return undefined;
  }
}

/** What tells the running cell from others: the kernel writes with another function for each. */
function runningCell(): unknown {
  try {
    const transport: unknown = require.cache[require.resolve("tslab/dist/jupyter.js")]?.exports;
    return isTransport(transport) ? (transport.lastWriteDisplayData ?? undefined) : undefined;
  } catch {
    return undefined;
  }
}

function isTransport(loaded: unknown): loaded is Transport {
  return typeof loaded === "object" && loaded !== null && "lastWriteDisplayData" in loaded;
}

function isKernel(loaded: unknown): loaded is Kernel {
  return typeof loaded === "object" && loaded !== null && "display" in loaded && "newDisplay" in loaded;
}
