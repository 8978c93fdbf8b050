// How far it is from a clone to the first verdict on a neck of one's own: what is typed and clicked is counted, the machine's part is timed.
// node tests/browser/firstVerdict.mjs [--fresh] [--readme]: --fresh begins in a copy that has neither packages nor Jupyter; --readme writes the result into README.md
import { execFileSync, spawn } from "node:child_process";
import { existsSync, mkdirSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { cpus, loadavg, tmpdir } from "node:os";
import { join } from "node:path";
import { parseArgs } from "node:util";
import { npmCommand } from "../../src/setup/npm.mjs";
import { root } from "../../src/setup/places.mjs";
import { betweenMarks } from "../../src/setup/between-marks.mjs";
import { anyPort, openBrowser } from "./lab.mjs";

/** Forty words a minute of five characters each. */
const SECONDS_A_KEY = 60 / (40 * 5);
const neck = "Number 12";
/** As they would be typed at the terminal, with the Enter that ends each: the name, then the answers to what is asked. */
const typed = /** @type {const} */ (["cd neck-survey\n", `npm run new -- "${neck}"\n`, "25.5 in\n", "22\n", "16\n", "12 in\n"]);
/** In the notebook: one click behind the dash of the first cell; then Backspace, the leaf, Shift and Enter. */
const [clicks, leaf] = [1, "9"];
const keysInNotebook = 1 + leaf.length + 2;

const { values: options } = parseArgs({ options: { fresh: { type: "boolean" }, readme: { type: "boolean" } } });

/** Where something lies once the page no longer moves it: a hand would not click before. @param {import("playwright-core").Locator} locator */
async function atRest(locator) {
  for (let before = await locator.boundingBox(); ; ) {
    await new Promise((next) => setTimeout(next, 700));
    const now = await locator.boundingBox();
    if (before !== null && now !== null && before.x === now.x && before.y === now.y) return now;
    before = now;
  }
}

const temporary = mkdtempSync(join(tmpdir(), "neck-survey first "));
const home = options.fresh === true ? join(temporary, "neck-survey") : root;
if (options.fresh === true) execFileSync("git", ["clone", "--quiet", root, home]);
const ownFolder = join(home, "my-necks", neck);
if (existsSync(ownFolder)) {
  console.error(`${ownFolder} is there already, and this measurement would make and remove it: move it away first, or measure in a copy (--fresh).`);
  process.exit(2);
}
const folder = join(temporary, "jupyter");
mkdirSync(folder);

const began = performance.now();
const seconds = () => (performance.now() - began) / 1000;
const { command, args } = npmCommand();
// the answers as options: a pipe is no terminal to be asked at
const child = spawn(command, [...args, "run", "new", "--", neck, "--scale", "25.5 in", "--frets", "22", "--joint", "16", "--radius", "12 in", "--open", "--no-browser", "--port", String(await anyPort())], {
  cwd: home, env: { ...process.env, NECK_SURVEY_JUPYTER_FOLDER: folder }, stdio: ["ignore", "pipe", "pipe"],
});
const ended = new Promise((resolve) => child.once("exit", resolve));
let said = "";
/** @type {Promise<string>} */
const address = new Promise((resolve, reject) => {
  for (const stream of [child.stdout, child.stderr]) {
    stream.on("data", (chunk) => {
      said += String(chunk);
      const found = /http:\/\/127\.0\.0\.1:\d+\/\S+token=\S+/.exec(said);
      if (found !== null) resolve(found[0]);
    });
  }
  child.once("exit", () => reject(new Error(`npm run new ended before the notebook was ready:\n${said}`)));
});

let result = "";
try {
  const open = await address;
  const served = seconds();
  const browser = await openBrowser(join(temporary, "browser"));
  const page = await browser.context.newPage();
  await page.setViewportSize({ width: 1300, height: 900 });
  await page.goto(open);
  const cell = page.locator(".jp-Notebook .jp-CodeCell").first();
  await cell.waitFor();
  const shown = seconds();
  // what the builder does
  const waiting = cell.locator(".cm-line", { hasText: /-\s*$/ }).first();
  await waiting.waitFor();
  const box = await atRest(waiting);
  const dash = await waiting.evaluate((line) => {
    const range = document.createRange();
    range.selectNodeContents(line);
    return range.getBoundingClientRect().right;
  });
  await page.mouse.click(dash + 2, box.y + box.height / 2);
  await page.keyboard.press("Backspace");
  await page.keyboard.type(leaf);
  await page.keyboard.press("Shift+Enter");
  const ran = seconds();
  await cell.locator(".jp-OutputArea-output", { hasText: "forward bow (middle low)" }).first().waitFor({ timeout: 60_000 }).catch(async (error) => {
    await page.screenshot({ path: join(root, "tests", "browser", "shots", "first-verdict-missed.png") });
    throw error;
  });
  const verdict = seconds();
  await cell.locator(".js-plotly-plot .main-svg").first().waitFor({ timeout: 120_000 });
  const drawn = seconds();
  const words = (await cell.locator(".jp-OutputArea-output p").allTextContents()).slice(0, 2).join(" ");
  await page.screenshot({ path: join(root, "tests", "browser", "shots", "first-verdict.png") });
  await browser.context.close();

  const keys = typed.reduce((sum, text) => sum + text.length + (text.match(/["A-Z]/g) ?? []).length, 0) + keysInNotebook; // a sign that needs Shift counts twice
  const machine = drawn - (ran - shown); // the clicking in between is the builder's
  const typing = keys * SECONDS_A_KEY;
  result = [
    `${keys} keystrokes and ${clicks} click from a clone to the first verdict on a neck of your own: ${typed.map((text) => `\`${text.trim()}\``).join(", ")} (the last four answer what is asked), each with Enter, Shift counted; in the notebook, which opens by itself, one click behind the \`-\`, Backspace, \`${leaf}\`, Shift + Enter.`,
    `At 40 words a minute that is ${typing.toFixed(0)} s of typing. The machine's part, ${options.fresh === true ? "packages and JupyterLab installed first" : "packages and JupyterLab being there"}: ${machine.toFixed(0)} s (server ready after ${served.toFixed(0)} s, notebook on the screen after ${shown.toFixed(0)} s, verdict ${(verdict - ran).toFixed(1)} s and live drawing ${(drawn - ran).toFixed(1)} s after Shift + Enter).`,
    `Together ${((machine + typing) / 60).toFixed(1)} minutes. Measured by \`node tests/browser/firstVerdict.mjs${options.fresh === true ? " --fresh" : ""}\` in headless Chromium, on ${cpus().length} cores that had ${loadavg()[0]?.toFixed(0)} programs waiting for them; the verdict read back: "${words}"`,
  ].join("\n");
  if (!/forward bow \(middle low\)/.test(words)) throw new Error(`the first verdict says "${words}"`);
} finally {
  child.kill("SIGINT");
  await ended;
  rmSync(ownFolder, { recursive: true, force: true });
  rmSync(temporary, { recursive: true, force: true, maxRetries: 5, retryDelay: 200 });
}
console.log(result);
if (options.readme === true) {
  const readme = join(root, "README.md");
  writeFileSync(readme, betweenMarks(readFileSync(readme, "utf8"), "first-verdict", result));
}
process.exit(result === "" ? 1 : 0);
