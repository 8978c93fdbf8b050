// npm start as a user starts it, and a browser that notes what leaves this machine and what the page complains of.
import { spawn } from "node:child_process";
import { createServer } from "node:net";
import { chromium } from "playwright-core";
import { npmCommand } from "../../src/setup/npm.mjs";
import { onPath } from "../../src/setup/on-path.mjs";
import { root } from "../../src/setup/places.mjs";

const flags = "--no-sandbox --disable-dev-shm-usage --disable-gpu --disable-quic --no-first-run --disable-background-networking --disable-component-update --disable-sync".split(" ");
const patience = 90_000;

function browserPath() {
  const given = process.env["CHROMIUM"] ?? "";
  const found = given === "" ? ["chromium", "chromium-browser", "google-chrome"].map(onPath).find((path) => path !== undefined) : given;
  if (found === undefined) throw new Error("There is no chromium on this machine: install it (on Debian: apt-get install chromium), or name one in CHROMIUM");
  return found;
}

/** @returns {Promise<number>} */
export const anyPort = () =>
  new Promise((resolve) => {
    const probe = createServer().listen(0, "127.0.0.1", () => {
      const address = probe.address();
      probe.close(() => resolve(address !== null && typeof address === "object" ? address.port : 0));
    });
  });

/** @param {string} folder where its Jupyter keeps itself */
export async function startAsUser(folder) {
  const { command, args } = npmCommand();
  const child = spawn(command, [...args, "start", "--", "--no-browser", "--port", String(await anyPort())], { cwd: root, env: { ...process.env, NECK_SURVEY_JUPYTER_FOLDER: folder }, stdio: ["ignore", "pipe", "pipe"] });
  const ended = new Promise((resolve) => child.once("exit", resolve));
  let said = "";
  const address = await new Promise((resolve, reject) => {
    const listen = (/** @type {Buffer} */ chunk) => {
      said += chunk.toString("utf8");
      const found = /http:\/\/127\.0\.0\.1:\d+\/\S+token=\S+/.exec(said);
      if (found !== null) resolve(found[0]);
    };
    child.stdout.on("data", listen);
    child.stderr.on("data", listen);
    child.once("exit", () => reject(new Error(`npm start ended before it was ready:\n${said}`)));
  });
  const stop = async () => {
    child.kill("SIGINT");
    const late = new Promise((resolve) => setTimeout(resolve, 20_000, "late").unref());
    if ((await Promise.race([ended, late])) === "late") throw new Error("npm start is still running 20 s after SIGINT");
  };
  /** @param {string} notebook its file's name */
  const addressOf = (notebook) => String(address).replace(/[^/]+\.ipynb/, encodeURIComponent(notebook));
  return { address: String(address), addressOf, stop };
}

/** Requests that leave this machine. @param {string} address */
const isOutside = (address) => !/^(https?|wss?):\/\/(127\.0\.0\.1|localhost|\[::1\])[:/]|^(data|blob|about|file|chrome-error):/.test(address);

/** @param {string} folder */
export async function openBrowser(folder) {
  const context = await chromium.launchPersistentContext(folder, { executablePath: browserPath(), args: flags, headless: true, viewport: { width: 1500, height: 9000 } });
  /** @type {string[]} */
  const outside = [];
  /** @type {string[]} */
  const complaints = [];
  const note = (/** @type {string} */ address) => {
    if (isOutside(address)) outside.push(address);
  };
  context.on("request", (request) => note(request.url()));
  context.on("page", (page) => {
    page.on("websocket", (socket) => note(socket.url()));
    page.on("pageerror", (error) => complaints.push(String(error)));
    page.on("console", (message) => {
      if (message.type() === "error") complaints.push(`${message.text()} (${message.location().url})`);
    });
  });
  context.setDefaultTimeout(patience);
  return { context, outside, complaints };
}

/** @param {import("playwright-core").Page} page @param {string} menu @param {string} item */
export async function choose(page, menu, item) {
  await page.locator(".lm-MenuBar-itemLabel", { hasText: new RegExp(`^${menu}$`) }).click();
  await page.locator(".lm-Menu-itemLabel", { hasText: new RegExp(`^${item}`) }).first().click();
}
