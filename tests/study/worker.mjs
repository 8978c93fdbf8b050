/** Works out one piece of a study after another; see pool.mjs. */
import { parentPort } from "node:worker_threads";
import { changeNamed } from "./changes.mjs";
import { judgedNeck } from "./one-neck.mjs";
import { carriedOutNeck } from "./plan.mjs";
import { judgedShape } from "./shape.mjs";
import { judgedSlip } from "./slips.mjs";
import { takenAnswer } from "./takenSections.mjs";

export function answerTo({ job, seed, family, number, change, options }) {
  if (job === "slip") return judgedSlip(seed, family, number);
  if (job === "plan") return carriedOutNeck(seed, family, number, options?.areTied ?? false);
  if (job.startsWith("taken:")) return takenAnswer(job, seed, family, number);
  if (job === "shape") return judgedShape(seed, family, number);
  return judgedNeck(seed, family, number, change === undefined ? {} : changeNamed(change), options);
}

parentPort?.on("message", ({ from, pieces }) => parentPort.postMessage({ from, found: pieces.map(answerTo) }, []));
