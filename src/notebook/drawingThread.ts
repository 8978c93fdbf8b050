// Draws still pictures beside the kernel, so that no cell waits for them; it loads its page and the plotting library at once.
import { parentPort } from "node:worker_threads";
import type { Figure } from "../figures/figure.js";
import type { DrawingJob, Drawn } from "./drawing.js";
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
