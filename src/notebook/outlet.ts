import { createRequire } from "node:module";

/** An output of a cell that can be overwritten later. */
export type Slot = { readonly html: (html: string) => void };
type Kernel = { readonly display: Slot; readonly newDisplay: () => Slot };

const require = createRequire(import.meta.url);

/**
 * Shows HTML under the running cell. Outside a notebook there is no cell: the plain text is printed instead.
 * @param html must already be escaped
 * @param text the same in plain words
 */
export function sendHtml(html: string, text: string): void {
  const kernel = runningKernel();
  if (kernel === undefined) console.log(text);
  else kernel.display.html(html);
}

/** A new output under the running cell that can be overwritten from any later cell; undefined outside a notebook. */
export function newSlot(): Slot | undefined {
  return runningKernel()?.newDisplay();
}

/** The notebook kernel this code runs in, if any. It is not loaded from here: where it is not running there is nothing to show to. */
function runningKernel(): Kernel | undefined {
  try {
    const transport: unknown = require.cache[require.resolve("tslab/dist/jupyter.js")]?.exports;
    if (typeof transport !== "object" || transport === null || !("lastWriteDisplayData" in transport) || transport.lastWriteDisplayData === null) return undefined;
    const kernel: unknown = require("tslab");
    return isKernel(kernel) ? kernel : undefined;
  } catch {
    return undefined;
  }
}

function isKernel(loaded: unknown): loaded is Kernel {
  return typeof loaded === "object" && loaded !== null && "display" in loaded && "newDisplay" in loaded;
}
