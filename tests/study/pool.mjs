/** Spreads pieces of a study over workers. Every piece draws from streams of its own, so that who works it out, and in which order, changes nothing. */
import { availableParallelism } from "node:os";
import { Worker } from "node:worker_threads";

/** So many pieces are handed out at a time. */
const CHUNK = 4;

/**
 * The answers of `pieces` in their order.
 * @param {readonly object[]} pieces what `worker.mjs` understands
 * @param {number} workers how many work at once; results do not depend on it
 * @param {(done: number, of: number) => void} tell called as pieces come back
 */
export function workedOut(pieces, workers = availableParallelism(), tell = () => {}) {
  const answers = Array.from({ length: pieces.length });
  let [next, done] = [0, 0];
  return new Promise((resolve, reject) => {
    if (pieces.length === 0) resolve(answers);
    const hands = Array.from({ length: Math.max(1, Math.min(workers, Math.ceil(pieces.length / CHUNK))) }, () => new Worker(new URL("./worker.mjs", import.meta.url)));
    const end = (settle, value) => {
      for (const hand of hands) void hand.terminate();
      settle(value);
    };
    const handOut = (hand) => {
      if (next >= pieces.length) return;
      hand.postMessage({ from: next, pieces: pieces.slice(next, next + CHUNK) }, []);
      next += CHUNK;
    };
    for (const hand of hands) {
      hand.on("error", (error) => end(reject, error));
      hand.on("message", ({ from, found }) => {
        for (const [k, answer] of found.entries()) answers[from + k] = answer;
        done += found.length;
        tell(done, pieces.length);
        if (done === pieces.length) end(resolve, answers);
        else handOut(hand);
      });
      handOut(hand);
    }
  });
}
