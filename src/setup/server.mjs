// The Jupyter server as a child: started on loopback with a token, waited for, and ended with all its kernels.
import { spawn } from "node:child_process";
import { randomBytes } from "node:crypto";
import { closeSync, openSync, readFileSync } from "node:fs";
import { createServer } from "node:net";
import { join } from "node:path";
import { root } from "./places.mjs";
import { lastLines } from "./run.mjs";
import { Stop } from "./stop.mjs";

const loopback = "127.0.0.1";
const posix = process.platform !== "win32";

/** @param {number} port @returns {Promise<string>} "" when it is free, else the system's code for why not */
const whyNotFree = (port) =>
  new Promise((resolve) => {
    const probe = createServer();
    probe.once("error", (error) => resolve("code" in error ? String(error.code) : error.message));
    probe.listen(port, loopback, () => probe.close(() => resolve("")));
  });

/**
 * @param {number} wanted @param {(line: string) => void} say
 * @returns {Promise<number>} the wanted port, or the next free one, which is said
 */
export async function freePort(wanted, say) {
  for (let port = wanted; port < Math.min(wanted + 50, 65_536); port++) {
    const why = await whyNotFree(port);
    if (why === "EACCES") throw new Stop(`Port ${port} is kept for the system: give one from 1024 to 65535, for example npm start -- --port 8888`);
    if (why !== "") continue;
    if (port !== wanted) say(`Port ${wanted} is taken by another program; using ${port}.`);
    return port;
  }
  throw new Stop(`Port ${wanted} and those after it are taken: give another, for example npm start -- --port 9000`);
}

/** @param {import("./jupyter.mjs").Jupyter} jupyter @param {number} port @param {string} firstPage */
function serverArguments(jupyter, port, firstPage) {
  const app = jupyter.kind === "lab" ? "ServerApp" : "NotebookApp";
  return [
    ...jupyter.args,
    "--no-browser",
    "--log-level=WARN",
    `--${app}.ip=${loopback}`,
    `--${app}.port=${port}`,
    `--${app}.port_retries=0`,
    `--${app}.default_url=${firstPage}`,
    "--MultiKernelManager.default_kernel_name=tslab",
    "--KernelSpecManager.ensure_native_kernel=False",
    ...(jupyter.kind === "lab" ? [`--ServerApp.root_dir=${root}`, "--LabApp.extension_manager=readonly", "--LabApp.check_for_updates_class=jupyterlab.NeverCheckForUpdate"] : [`--notebook-dir=${root}`]),
    ...(process.getuid?.() === 0 ? ["--allow-root"] : []),
  ];
}

/**
 * @typedef {{ port: number, token: string, ended: Promise<number | null>, stop: () => Promise<void> }} Server
 */

/**
 * @param {{ jupyter: import("./jupyter.mjs").Jupyter, env: NodeJS.ProcessEnv, port: number, firstPage: string, folder: string }} how
 * @returns {Server} one that may not answer yet
 */
export function startServer({ jupyter, env, port, firstPage, folder }) {
  const token = randomBytes(24).toString("hex");
  const log = openSync(join(folder, "jupyter.log"), "w");
  const child = spawn(jupyter.command, serverArguments(jupyter, port, firstPage), {
    cwd: root,
    env: { ...env, JUPYTER_TOKEN: token }, // in the environment: arguments can be read by every user of the machine
    stdio: ["ignore", log, log],
    detached: posix, // Ctrl-C in the terminal is for us; we end the server in order, so that its kernels end too
    windowsHide: true,
  });
  closeSync(log);
  /** @type {Promise<number | null>} */
  const ended = new Promise((resolve) => {
    child.once("error", () => resolve(null));
    child.once("exit", (code) => resolve(code));
  });
  return { port, token, ended, stop: () => stopServer(child, ended, `http://${loopback}:${port}/api/shutdown`, token) };
}

/** @param {Server} server */
async function answers({ port, token }) {
  try {
    const reply = await fetch(`http://${loopback}:${port}/api/status`, { headers: { authorization: `token ${token}` }, signal: AbortSignal.timeout(2000) });
    return reply.ok; // with our token: another program on this port does not count
  } catch {
    return false;
  }
}

/** @param {Server} server @param {string} folder @param {(line: string) => void} say */
export async function untilItAnswers(server, folder, say) {
  const started = Date.now();
  let over = false;
  void server.ended.then(() => (over = true));
  for (let beats = 1; !(await answers(server)); ) {
    if (over) throw new Stop(`Jupyter ended before it was ready. It said:\n${lastLines(readFileSync(join(folder, "jupyter.log"), "utf8"))}`);
    const seconds = (Date.now() - started) / 1000;
    if (seconds > 180) throw new Stop(`Jupyter has not answered for three minutes. It said:\n${lastLines(readFileSync(join(folder, "jupyter.log"), "utf8"))}`);
    if (seconds > 10 * beats) say(`  waiting for Jupyter: ${10 * beats++} s so far`);
    await new Promise((next) => setTimeout(next, 150));
  }
}

/**
 * Asks, then tells, then forces.
 * @param {import("node:child_process").ChildProcess} child @param {Promise<number | null>} ended @param {string} shutdownAddress @param {string} token
 */
async function stopServer(child, ended, shutdownAddress, token) {
  const over = async (/** @type {number} */ ms) => {
    const timer = { id: /** @type {NodeJS.Timeout | undefined} */ (undefined) };
    const late = new Promise((resolve) => (timer.id = setTimeout(resolve, ms, false)));
    const result = await Promise.race([ended.then(() => true), late]);
    clearTimeout(timer.id);
    return result;
  };
  if (child.exitCode !== null || child.signalCode !== null || child.pid === undefined) return;
  await fetch(shutdownAddress, { method: "POST", headers: { authorization: `token ${token}` }, signal: AbortSignal.timeout(2000) }).catch(() => undefined);
  if (await over(5000)) return;
  child.kill("SIGTERM");
  if (await over(3000)) return;
  if (posix) process.kill(-child.pid, "SIGKILL");
  else child.kill("SIGKILL");
  await ended;
}
