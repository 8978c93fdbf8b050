// When somebody wants an end: by a signal to us, or to the npm or shell that started us.
import { readFileSync } from "node:fs";

const everyMs = 500;

/** How often a process has slept and been woken, as Linux counts it; undefined elsewhere. @param {number} pid */
function wakings(pid) {
  try {
    return /^voluntary_ctxt_switches:\s*(\d+)/m.exec(readFileSync(`/proc/${pid}/status`, "utf8"))?.[1];
  } catch {
    return undefined;
  }
}

/**
 * Resolves when an end is asked for.
 *
 * npm hands a SIGINT that was sent to it alone (by a program, not by Ctrl-C in a terminal) to the shell between it and us. Some shells end, and we are left to
 * another parent. Others, Debian's among them, keep the signal to themselves until we end: but they have slept since they started us, and nothing but a signal wakes them.
 * @returns {Promise<void>}
 */
export function asked() {
  return new Promise((resolve) => {
    for (const signal of ["SIGINT", "SIGTERM", "SIGHUP"]) process.on(signal, () => resolve());
    if (process.env["npm_lifecycle_event"] === undefined) return;
    const parent = process.ppid;
    let asleep = wakings(parent);
    let last = Date.now();
    setInterval(() => {
      const lateMs = Date.now() - last - everyMs;
      last = Date.now();
      const now = wakings(parent);
      if (process.ppid !== parent) resolve();
      else if (now !== asleep && lateMs < everyMs) resolve();
      asleep = now; // when we are late we were stopped ourselves (Ctrl-Z, a closed lid), and the shell with us: no sign
    }, everyMs).unref();
  });
}
