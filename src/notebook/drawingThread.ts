// Packs the plotting library and draws still pictures beside the kernel, so that no cell waits for them; it loads its page at once.
import { parentPort, workerData } from "node:worker_threads";
import type { Figure } from "../figures/figure.js";
import type { DrawingJob, DrawingShelf, Drawn } from "./drawing.js";
import { libraryHtml } from "./library.js";
import { loadStills, stillSvg } from "./still.js";

parentPort?.on("message", ({ id, json, wait }: DrawingJob) => {
  const answer = drawn(id, json);
  if (wait === undefined) {
    parentPort?.postMessage(answer);
    return;
  }
  wait.port.postMessage(answer);
  Atomics.store(wait.flag, 0, 1);
  Atomics.notify(wait.flag, 0);
});
const { shelf }: DrawingShelf = workerData;
shelf.postMessage(libraryHtml());
shelf.close();
loadStills();

function drawn(id: number, json: string): Drawn {
  try {
    return { id, svg: stillSvg(figureIn(json)) };
  } catch (error) {
    return { id, why: error instanceof Error ? error.message : String(error) };
  }
}

function figureIn(json: string): Figure {
  const figure: Figure = JSON.parse(json);
  return figure;
}
