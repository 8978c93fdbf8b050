// The first notebook in JupyterLab as npm start starts it, in a browser: drawn, hovered, saved, reopened, and nothing asked of the network.
import { spawn } from "node:child_process";
import { mkdirSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { createServer } from "node:net";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { pathToFileURL } from "node:url";
import { chromium } from "playwright-core";
import { findOrMakeJupyter } from "../../src/setup/jupyter.mjs";
import { npmCommand } from "../../src/setup/npm.mjs";
import { onPath } from "../../src/setup/on-path.mjs";
import { root } from "../../src/setup/places.mjs";
import { run } from "../../src/setup/run.mjs";

const notebook = join(root, "notebooks", "01-first-neck.ipynb");
const shots = join(root, "tests", "browser", "shots");
const flags = "--no-sandbox --disable-dev-shm-usage --disable-gpu --disable-quic --no-first-run --disable-background-networking --disable-component-update --disable-sync".split(" ");
const figure = '[class*="neck-figure-"]';
const stillFigure = 'img[src^="data:image/svg+xml;base64,"]';
const patience = 90_000;

function browserPath() {
  const given = process.env["CHROMIUM"] ?? "";
  const found = given === "" ? ["chromium", "chromium-browser", "google-chrome"].map(onPath).find((path) => path !== undefined) : given;
  if (found === undefined) throw new Error("There is no chromium on this machine: install it (on Debian: apt-get install chromium), or name one in CHROMIUM");
  return found;
}

/** @returns {Promise<number>} */
const anyPort = () =>
  new Promise((resolve) => {
    const probe = createServer().listen(0, "127.0.0.1", () => {
      const address = probe.address();
      probe.close(() => resolve(address !== null && typeof address === "object" ? address.port : 0));
    });
  });

/** @param {string} folder where its Jupyter keeps itself */
async function startAsUser(folder) {
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
  return { address: String(address), stop };
}

/** @param {string} folder */
async function openBrowser(folder) {
  const context = await chromium.launchPersistentContext(folder, { executablePath: browserPath(), args: flags, headless: true, viewport: { width: 1500, height: 9000 } });
  /** @type {string[]} */
  const outside = [];
  const note = (/** @type {string} */ address) => {
    if (!/^(https?|wss?):\/\/(127\.0\.0\.1|localhost|\[::1\])[:/]|^(data|blob|about|file|chrome-error):/.test(address)) outside.push(address);
  };
  context.on("request", (request) => note(request.url()));
  context.on("page", (page) => page.on("websocket", (socket) => note(socket.url())));
  context.setDefaultTimeout(patience);
  return { context, outside };
}

/** Every figure is drawn, as a still picture or live. @param {import("playwright-core").Page} page @param {boolean} mustLive */
const untilDrawn = (page, mustLive) =>
  page.waitForFunction(
    ({ live, still, noStill }) => {
      const lives = [...document.querySelectorAll(live)].filter((element) => element.getAttribute("data-live") === "1");
      const stills = [...document.querySelectorAll(still)].filter((element) => element instanceof HTMLImageElement);
      const isDrawn = lives.every((element) => element.querySelector("svg.main-svg .trace, svg.main-svg .scatterlayer path") !== null);
      const isLoaded = stills.every((image) => image.complete && image.naturalWidth > 100 && image.offsetWidth > 100);
      const count = lives.length + stills.length;
      return isDrawn && isLoaded && count > 0 && !(noStill && stills.length > 0) ? count : false;
    },
    { live: figure, still: stillFigure, noStill: mustLive },
  ).then((handle) => handle.jsonValue());

/** What is shown when the pointer rests on a mark that has readings behind it. @param {import("playwright-core").Page} page @returns {Promise<string>} */
async function hoverText(page) {
  const spots = await page.evaluate((selector) => {
    const elements = [...document.querySelectorAll(`${selector} .js-plotly-plot`)];
    return elements.flatMap((/** @type {any} */ plot) =>
      plot._fullData.flatMap((/** @type {any} */ trace, /** @type {number} */ index) => {
        const points = plot.calcdata[index] ?? [];
        if (trace.hoverinfo === "skip" || !String(trace.mode).includes("markers")) return [];
        const [x, y] = [plot._fullLayout[`xaxis${trace.xaxis.slice(1)}`], plot._fullLayout[`yaxis${trace.yaxis.slice(1)}`]];
        const box = plot.getBoundingClientRect();
        return points.slice(0, 3).map((/** @type {any} */ point) => ({ x: box.left + x._offset + x.c2p(point.x), y: box.top + y._offset + y.c2p(point.y) }));
      }),
    );
  }, figure);
  for (const { x, y } of spots) {
    await page.mouse.move(x - 3, y - 3);
    await page.mouse.move(x, y, { steps: 3 });
    const shown = await page.waitForFunction((selector) => [...document.querySelectorAll(`${selector} .hoverlayer .hovertext`)].map((label) => label.textContent ?? "").join(" "), figure, { timeout: 3000 }).catch(() => undefined);
    if (shown !== undefined) return shown.jsonValue();
  }
  return `(no mark of ${spots.length} answered)`;
}

/** @param {import("playwright-core").Page} page @param {string} menu @param {string} item */
async function choose(page, menu, item) {
  await page.locator(".lm-MenuBar-itemLabel", { hasText: new RegExp(`^${menu}$`) }).click();
  await page.locator(".lm-Menu-itemLabel", { hasText: new RegExp(`^${item}`) }).first().click();
}

/** @param {import("playwright-core").Page} page */
const shot = (page, /** @type {string} */ name) => page.screenshot({ path: join(shots, `${name}.png`) });

/**
 * @param {(name: string, ok: boolean, found: string) => void} check
 * @param {string} temporary
 */
async function scenario(check, temporary) {
  const before = readFileSync(notebook);
  const codeCells = JSON.parse(before.toString("utf8")).cells.filter((/** @type {any} */ cell) => cell.cell_type === "code").length;
  const server = await startAsUser(join(temporary, "jupyter"));
  const { context, outside } = await openBrowser(join(temporary, "browser"));
  try {
    const page = await context.newPage();
    await page.goto(server.address);
    await page.waitForSelector(".jp-Notebook .jp-CodeCell");
    check("the stored figures are shown when the notebook is opened", Number(await untilDrawn(page, false)) > 0, "none");
    await shot(page, "1-opened");

    await page.locator(".jp-Notebook-ExecutionIndicator[data-status=idle]").waitFor();
    await choose(page, "Run", "Run All Cells");
    await page.waitForFunction((/** @type {number} */ wanted) => {
      const prompts = [...document.querySelectorAll(".jp-Notebook .jp-CodeCell .jp-InputPrompt")].map((prompt) => prompt.textContent ?? "");
      return prompts.length >= wanted && prompts.every((text) => /\d/.test(text) || text.trim() === "") && document.querySelector(".jp-Notebook-ExecutionIndicator")?.getAttribute("data-status") === "idle";
    }, codeCells);
    const errors = await page.locator('.jp-OutputArea [data-mime-type="application/vnd.jupyter.stderr"]').allTextContents();
    check("every cell runs", errors.length === 0, errors.join("\n"));
    check("every figure comes live", Number(await untilDrawn(page, true)) > 0, "none");
    await shot(page, "2-run");

    const hover = await hoverText(page);
    check("the pointer on a mark shows both units", /\bmm\b/.test(hover) && /\bthou\b/.test(hover), hover);
    await shot(page, "3-hover");

    await page.mouse.move(5, 5);
    await choose(page, "File", "Save Notebook");
    await page.waitForFunction(() => document.querySelector(".jp-Document.jp-mod-dirty, .lm-TabBar-tab.lm-mod-current.jp-mod-dirty") === null);
    const saved = readFileSync(notebook, "utf8");
    check("the saved notebook holds the figures", saved.includes("neck-figure-") && saved !== before.toString("utf8"), "no figure in the file");
    const libraries = saved.split("new DecompressionStream(").length - 1;
    check("the saved notebook holds the plotting library once", libraries === 1, `${libraries} times, ${saved.length} bytes`);
    await page.close();

    const again = await context.newPage();
    await again.goto(server.address);
    await again.waitForSelector(".jp-Notebook .jp-CodeCell");
    check("the figures are still there when it is reopened", Number(await untilDrawn(again, false)) > 0, "none");
    await shot(again, "4-reopened");
    check("no request leaves this machine", outside.length === 0, outside.join("\n"));

    const jupyter = await findOrMakeJupyter(() => undefined);
    const [command = "jupyter", ...first] = jupyter?.python === undefined ? [jupyter?.command ?? "jupyter", "nbconvert"] : [...jupyter.python, "-m", "nbconvert"];
    const converted = await run(command, [...first, "--to", "html", "--output-dir", temporary, notebook]);
    check("nbconvert makes a page of it", converted.code === 0, converted.output);
    await context.setOffline(true);
    const html = await context.newPage();
    await html.goto(pathToFileURL(join(temporary, "01-first-neck.html")).href, { waitUntil: "domcontentloaded" });
    check("that page shows the figures without a network", Number(await untilDrawn(html, false)) > 0, "none");
    await shot(html, "5-html");
  } finally {
    await context.close();
    await server.stop().finally(() => writeFileSync(notebook, before)); // what was saved was ours, not the user's
  }
}

async function attempt() {
  const temporary = mkdtempSync(join(tmpdir(), "neck-survey browsér-"));
  mkdirSync(join(temporary, "jupyter"));
  /** @type {{ name: string, ok: boolean, found: string }[]} */
  const checks = [];
  try {
    await scenario((name, ok, found) => void checks.push({ name, ok, found }), temporary);
  } catch (error) {
    checks.push({ name: `after "${checks.at(-1)?.name ?? "the start"}"`, ok: false, found: error instanceof Error ? error.message : String(error) });
  }
  rmSync(temporary, { recursive: true, force: true, maxRetries: 5, retryDelay: 200 });
  return checks;
}

mkdirSync(shots, { recursive: true });
let checks = await attempt();
if (checks.some(({ ok }) => !ok)) {
  console.log(`First try: ${checks.filter(({ ok }) => !ok).map(({ name, found }) => `${name}: ${found}`).join("; ")}\nTrying once more.`);
  checks = await attempt();
}
for (const { name, ok, found } of checks) console.log(ok ? `ok      ${name}` : `FAILED  ${name}: ${found}`);
const failed = checks.filter(({ ok }) => !ok).length;
console.log(`${checks.length - failed} passed, ${failed} failed`);
process.exit(failed > 0 ? 1 : 0);
