// Other programs, run with their words kept and a sign of life while they work.
import { spawn } from "node:child_process";
import { root } from "./places.mjs";

/**
 * @typedef {{ code: number | null, output: string }} Ran code is null when the program could not be started or was ended by a signal
 * @typedef {{ env?: NodeJS.ProcessEnv, cwd?: string, say?: (line: string) => void, what?: string, timeoutMs?: number }} How
 */

/** @type {Set<import("node:child_process").ChildProcess>} */
const running = new Set();
process.on("exit", () => {
  for (const child of running) child.kill("SIGKILL"); // npm finishes its install before it heeds a milder one; what is half done is done anew next time
});

/**
 * @param {string} command
 * @param {readonly string[]} args
 * @param {How} [how] with `say` and `what`, a line every ten seconds
 * @returns {Promise<Ran>} never rejects
 */
export function run(command, args, { env = process.env, cwd = root, say, what, timeoutMs } = {}) {
  return new Promise((resolve) => {
    const started = performance.now();
    const beat = say && what ? setInterval(() => say(`  ${what}: ${Math.round((performance.now() - started) / 1000)} s so far`), 10_000) : undefined;
    let output = "";
    const child = spawn(command, args, { cwd, env, stdio: ["ignore", "pipe", "pipe"], windowsHide: true, ...(timeoutMs !== undefined && { timeout: timeoutMs }) });
    running.add(child);
    const keep = (/** @type {Buffer} */ chunk) => void (output += chunk.toString("utf8"));
    child.stdout.on("data", keep);
    child.stderr.on("data", keep);
    const end = (/** @type {number | null} */ code) => {
      clearInterval(beat);
      running.delete(child);
      resolve({ code, output });
    };
    child.on("error", (error) => {
      output += error.message;
      end(null);
    });
    child.on("close", end);
  });
}

/** @param {string} output @param {number} [count] its last lines, indented */
export const lastLines = (output, count = 12) => output.trimEnd().split(/\r?\n/).slice(-count).map((line) => `    ${line}`).join("\n");

/** @param {string} output of an installer that failed: whether it failed for want of a network */
export const soundsOffline = (output) => /ENOTFOUND|EAI_AGAIN|ECONNREFUSED|ECONNRESET|ETIMEDOUT|ENETUNREACH|ERR_SOCKET_TIMEOUT|Name or service not known|Temporary failure in name resolution|NewConnectionError|ConnectTimeoutError|Network is unreachable|getaddrinfo|fetch failed/i.test(output);
