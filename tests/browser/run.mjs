// Every notebook in JupyterLab as npm start starts it, in a browser: drawn, hovered, saved, reopened, and nothing asked of the network.
import { mkdirSync, mkdtempSync, readFileSync, rmSync, statSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { basename, join } from "node:path";
import { pathToFileURL } from "node:url";
import { findOrMakeJupyter, jupyterEnvironment } from "../../src/setup/jupyter.mjs";
import { notebookFiles } from "../../src/setup/notebook-files.mjs";
import { root } from "../../src/setup/places.mjs";
import { run } from "../../src/setup/run.mjs";
import { exported, figuresIn, hoverText, movedSliders, overlaps, smallestTypePx, untilDrawn } from "./figures.mjs";
import { choose, openBrowser, startAsUser } from "./lab.mjs";

const shots = join(root, "tests", "browser", "shots");
const mostBytes = 2_000_000;
/** Widths of the window at which figures are looked at; the page beside them takes about 140 px. */
const windowWidths = [740, 1540];

/** @typedef {(name: string, ok: boolean, found: string) => void} Check */
/** @typedef {Awaited<ReturnType<typeof startAsUser>>} Lab */
/** @typedef {Awaited<ReturnType<typeof openBrowser>>} Browser */

/** @param {import("playwright-core").Page} page @param {string} name */
const shot = (page, name) => page.screenshot({ path: join(shots, `${name}.png`) });

/** @param {import("playwright-core").Page} page */
const closeDialogs = async (page) => {
  const dialog = page.locator(".jp-Dialog .jp-mod-accept");
  if ((await dialog.count()) > 0) await dialog.first().click();
};

/** @param {import("playwright-core").Page} page @param {number} codeCells */
async function runAll(page, codeCells) {
  await page.locator(".jp-Notebook-ExecutionIndicator[data-status=idle]").waitFor();
  const started = performance.now();
  await choose(page, "Run", "Run All Cells");
  await page.waitForFunction((/** @type {number} */ wanted) => {
    const prompts = [...document.querySelectorAll(".jp-Notebook .jp-CodeCell .jp-InputPrompt")].map((prompt) => prompt.textContent ?? "");
    return prompts.length >= wanted && prompts.every((text) => /\d/.test(text) || text.trim() === "") && document.querySelector(".jp-Notebook-ExecutionIndicator")?.getAttribute("data-status") === "idle";
  }, codeCells);
  return (performance.now() - started) / 1000;
}

/** Lines of code that are wider than their cell. @param {import("playwright-core").Page} page @returns {Promise<readonly string[]>} */
const cutLines = (page) =>
  page.evaluate(() => [...document.querySelectorAll(".jp-CodeCell .cm-scroller")].filter((cell) => cell.scrollWidth > cell.clientWidth + 2).map((cell) => (cell.textContent ?? "").slice(0, 60)));

/** @param {import("playwright-core").Page} page @param {string} notebook @param {string} name @param {Check} check */
async function figuresHold(page, notebook, name, check) {
  const hover = await hoverText(page);
  check(`${name}: the pointer on a mark shows both units`, /\bmm\b/.test(hover) && /\bthou\b/.test(hover), hover);
  await shot(page, `${notebook}-3-hover`);
  await page.mouse.move(5, 5);
  for (const { what, ok, found } of await exported(page)) check(`${name}: ${what}`, ok, found);
  for (const width of windowWidths) {
    await page.setViewportSize({ width, height: 9000 });
    await page.waitForTimeout(1200);
    const small = await smallestTypePx(page);
    check(`${name}: type is at least 11 px in a window of ${width} px`, small >= 10.99, `${small.toFixed(1)} px`);
    const over = await overlaps(page);
    check(`${name}: no text lies over another in a window of ${width} px`, over.length === 0, over.slice(0, 5).join("; "));
    const cut = await cutLines(page);
    check(`${name}: no line of code runs out of its cell in a window of ${width} px`, cut.length === 0, cut.slice(0, 3).join("; "));
    await shot(page, `${notebook}-width-${width}`);
  }
  await page.setViewportSize({ width: 1500, height: 9000 });
}

/** @param {string} path @param {Lab} lab @param {Browser} browser @param {Check} check */
async function inBrowser(path, lab, { context }, check) {
  const notebook = basename(path, ".ipynb");
  const name = notebook;
  const before = readFileSync(path);
  const content = JSON.parse(before.toString("utf8"));
  const codeCells = content.cells.filter((/** @type {any} */ cell) => cell.cell_type === "code").length;
  const figures = figuresIn(content);
  try {
    const page = await context.newPage();
    await page.goto(lab.addressOf(basename(path)));
    await page.waitForSelector(".jp-Notebook .jp-CodeCell");
    const listPx = await page.evaluate(() => document.querySelector("#jp-left-stack")?.clientWidth ?? -1);
    check(`${name}: the notebook has the whole width when it is first opened`, listPx === 0, `the list of files takes ${listPx} px`);
    check(`${name}: the ${figures} stored figures are shown when the notebook is opened`, figures > 0 && (await untilDrawn(page, figures)), "not all");
    await shot(page, `${notebook}-1-opened`);
    const seconds = await runAll(page, codeCells);
    const errors = await page.locator('.jp-OutputArea [data-mime-type="application/vnd.jupyter.stderr"]').allTextContents();
    check(`${name}: every cell runs (all in ${seconds.toFixed(1)} s)`, errors.length === 0, errors.join("\n"));
    check(`${name}: every figure comes live`, await untilDrawn(page, figures, { live: true }), "not all");
    await shot(page, `${notebook}-2-run`);
    await figuresHold(page, notebook, name, check);
    await choose(page, "File", "Save Notebook");
    await page.waitForFunction(() => document.querySelector(".jp-Document.jp-mod-dirty, .lm-TabBar-tab.lm-mod-current.jp-mod-dirty") === null);
    const saved = readFileSync(path, "utf8");
    check(`${name}: the saved notebook holds the figures`, saved.includes("neck-figure-") && saved !== before.toString("utf8"), "no figure in the file");
    const libraries = saved.split("new DecompressionStream(").length - 1;
    check(`${name}: the saved notebook holds the plotting library once`, libraries === 1, `${libraries} times, ${saved.length} bytes`);
    check(`${name}: the saved notebook is under ${mostBytes / 1e6} MB`, statSync(path).size < mostBytes, `${statSync(path).size} bytes`);
    await page.close();

    const again = await context.newPage();
    await again.goto(lab.addressOf(basename(path)));
    await again.waitForSelector(".jp-Notebook .jp-CodeCell");
    check(`${name}: the figures are live when it is reopened without running`, await untilDrawn(again, figures, { live: true }), "not all");
    const sliders = await movedSliders(again);
    for (const { before: was, after } of sliders) check(`${name}: the slider works without a kernel`, was !== after, was);
    await shot(again, `${notebook}-4-reopened`);
    await closeDialogs(again);
    await again.close();
  } finally {
    writeFileSync(path, before); // what was saved was ours, not the user's
  }
}

/** As a page without Jupyter and without a network; that page's frame, which is nbconvert's, asks for more than we do. @param {string} path @param {import("playwright-core").BrowserContext} context @param {Check} check @param {string} temporary */
async function asPage(path, context, check, temporary) {
  const name = basename(path, ".ipynb");
  const figures = figuresIn(JSON.parse(readFileSync(path, "utf8")));
  const jupyter = await findOrMakeJupyter(() => undefined);
  const [command = "jupyter", ...first] = jupyter?.python === undefined ? [jupyter?.command ?? "jupyter", "nbconvert"] : [...jupyter.python, "-m", "nbconvert"];
  const converted = await run(command, [...first, "--to", "html", "--output-dir", temporary, path]);
  check(`${name}: nbconvert makes a page of it`, converted.code === 0, converted.output);
  await executed(path, [command, ...first], check, temporary);
  await context.setOffline(true);
  const html = await context.newPage();
  await html.goto(pathToFileURL(join(temporary, `${name}.html`)).href, { waitUntil: "domcontentloaded" });
  check(`${name}: that page shows the figures without a network`, await untilDrawn(html, figures), "not all");
  await shot(html, `${name}-5-html`);
  await html.close();
}

/** Run by a program that ends the kernel at once, as the README says. @param {string} path @param {readonly string[]} nbconvert @param {Check} check @param {string} temporary */
async function executed(path, [command = "jupyter", ...first], check, temporary) {
  const name = basename(path, ".ipynb");
  const env = { ...jupyterEnvironment(join(temporary, "jupyter")), NECK_SURVEY_FIGURES: "still" };
  const ran = await run(command, [...first, "--to", "notebook", "--execute", "--output", join(temporary, `${name}-executed.ipynb`), path], { env });
  const figures = (/** @type {string} */ file) => figuresIn(JSON.parse(readFileSync(file, "utf8")));
  check(`${name}: nbconvert runs it and keeps every figure`, ran.code === 0 && figures(join(temporary, `${name}-executed.ipynb`)) === figures(path), ran.output);
}

/** @param {string} path @param {string} temporary */
async function attempt(path, temporary) {
  /** @type {{ name: string, ok: boolean, found: string }[]} */
  const checks = [];
  /** @type {Check} */
  const check = (name, ok, found) => void checks.push({ name, ok, found });
  const folder = mkdtempSync(join(temporary, "one "));
  mkdirSync(join(folder, "jupyter"));
  const started = performance.now();
  const lab = await startAsUser(join(folder, "jupyter"));
  const browser = await openBrowser(join(folder, "browser"));
  try {
    const page = await browser.context.newPage();
    await page.goto(lab.addressOf(basename(path)));
    await untilDrawn(page, figuresIn(JSON.parse(readFileSync(path, "utf8"))));
    console.log(`        ${basename(path)}: npm start to the first figure in ${((performance.now() - started) / 1000).toFixed(1)} s`);
    await page.close();
    await inBrowser(path, lab, browser, check);
    check(`${basename(path)}: no request leaves this machine`, browser.outside.length === 0, browser.outside.join("\n"));
    check(`${basename(path)}: the page has no error to tell`, browser.complaints.length === 0, browser.complaints.slice(0, 5).join("\n"));
    await asPage(path, browser.context, check, folder);
  } catch (error) {
    check(`${basename(path)}: after "${checks.at(-1)?.name ?? "the start"}"`, false, error instanceof Error ? error.message : String(error));
  } finally {
    await browser.context.close();
    await lab.stop();
  }
  return checks;
}

const wanted = process.argv.slice(2);
const paths = notebookFiles().filter((path) => wanted.length === 0 || wanted.some((part) => basename(path).includes(part)));
mkdirSync(shots, { recursive: true });
const temporary = mkdtempSync(join(tmpdir(), "neck-survey browsér-"));
const all = [];
for (const path of paths) {
  let checks = await attempt(path, temporary);
  if (checks.some(({ ok }) => !ok)) {
    console.log(`First try: ${checks.filter(({ ok }) => !ok).map(({ name, found }) => `${name}: ${found}`).join("; ")}\nTrying once more.`);
    checks = await attempt(path, temporary);
  }
  for (const { name, ok, found } of checks) console.log(ok ? `ok      ${name}` : `FAILED  ${name}: ${found}`);
  all.push(...checks);
}
rmSync(temporary, { recursive: true, force: true, maxRetries: 5, retryDelay: 200 });
const failed = all.filter(({ ok }) => !ok).length;
console.log(`${all.length - failed} passed, ${failed} failed`);
process.exit(failed > 0 || all.length === 0 ? 1 : 0);
