// Every notebook (or those named) in Notebook 7, the classic page in today's clothes: where it is present (a Python that has it, in PYTHON; else python3).
// It opens with its drawings, runs without an error, every drawing comes live, and nothing is asked of the network.
import { mkdirSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { basename, join } from "node:path";
import { jupyterEnvironment } from "../../src/setup/jupyter.mjs";
import { notebookFiles } from "../../src/setup/notebook-files.mjs";
import { root } from "../../src/setup/places.mjs";
import { prepare } from "../../src/setup/prepare.mjs";
import { run } from "../../src/setup/run.mjs";
import { freePort, startServer, untilItAnswers } from "../../src/setup/server.mjs";
import { figuresIn, overlaps, smallestTypePx, untilDrawn } from "./figures.mjs";
import { choose, openBrowser } from "./lab.mjs";

const shots = join(root, "tests", "browser", "shots");
const python = process.env["PYTHON"] ?? "python3";
const quiet = () => undefined;

/** @param {string} path @param {string} address @param {Awaited<ReturnType<typeof openBrowser>>["context"]} context @param {(name: string, ok: boolean, found: string) => void} check */
async function inNotebook7(path, address, context, check) {
  const name = basename(path, ".ipynb");
  const before = readFileSync(path);
  const notebook = JSON.parse(before.toString("utf8"));
  const figures = figuresIn(notebook);
  const wanted = notebook.cells.filter((/** @type {any} */ cell) => cell.cell_type === "code").length;
  try {
    const page = await context.newPage();
    await page.goto(address);
    await page.waitForSelector(".jp-Notebook .jp-CodeCell");
    check(`${name}: its ${figures} stored figures are shown`, await untilDrawn(page, figures), "not all");
    await page.locator(".jp-Notebook .jp-CodeCell .jp-Editor").first().click();
    await page.locator(".jp-NotebookKernelStatus-info, .jp-Notebook-ExecutionIndicator[data-status=idle]").first().waitFor({ state: "attached" });
    await choose(page, "Edit", "Clear Outputs of All Cells"); // so that a number beside a cell says that it ran here
    await choose(page, "Run", "Run All Cells");
    await page.waitForFunction((count) => {
      const prompts = [...document.querySelectorAll(".jp-Notebook .jp-CodeCell .jp-InputPrompt")].map((prompt) => prompt.textContent ?? "");
      return prompts.length >= count && prompts.every((text) => /\d/.test(text));
    }, wanted);
    const errors = await page.locator('.jp-OutputArea [data-mime-type="application/vnd.jupyter.stderr"]').allTextContents();
    check(`${name}: every cell runs`, errors.length === 0, errors.join("\n"));
    check(`${name}: every figure comes live`, await untilDrawn(page, figures, { live: true }), "not all");
    const small = await smallestTypePx(page);
    check(`${name}: type is at least 11 px`, small >= 10.99, `${small.toFixed(1)} px`);
    const over = await overlaps(page);
    check(`${name}: no text lies over another`, over.length === 0, over.slice(0, 5).join("; "));
    await page.screenshot({ path: join(shots, `${name}-notebook7.png`) });
    await page.close();
  } finally {
    writeFileSync(path, before);
  }
}

const version = /\d+\.\d+\.\d+/.exec((await run(python, ["-m", "notebook", "--version"], { timeoutMs: 30_000 })).output)?.[0] ?? "";
if (!/^[789]\./.test(version)) {
  console.log(`Notebook 7 is not on this machine (${python}): nothing was looked at. Name a Python that has it: PYTHON=...`);
  process.exit(0);
}
await prepare({ say: quiet });
mkdirSync(shots, { recursive: true });
const temporary = mkdtempSync(join(tmpdir(), "neck-survey notebook7-"));
const env = jupyterEnvironment(temporary);
const wanted = process.argv.slice(2);
const paths = notebookFiles().filter((path) => wanted.length === 0 || wanted.some((part) => basename(path).includes(part)));
await run(python, ["-m", "nbformat.sign", ...notebookFiles()], { env });
const port = await freePort(8950, quiet);
const server = startServer({ jupyter: { kind: "lab", command: python, args: ["-m", "notebook"], name: `Notebook ${version}`, python: [python] }, env, port, firstPage: "/tree", folder: temporary });
const browser = await openBrowser(join(temporary, "browser"));
/** @type {boolean[]} */
const all = [];
/** @param {string} name @param {boolean} ok @param {string} found */
const check = (name, ok, found) => {
  all.push(ok);
  console.log(ok ? `ok      ${name}` : `FAILED  ${name}: ${found}`);
};
try {
  await untilItAnswers(server, temporary, quiet);
  for (const path of paths) await inNotebook7(path, `http://127.0.0.1:${port}/notebooks/notebooks/${encodeURIComponent(basename(path))}?token=${server.token}`, browser.context, check);
  check(`Notebook ${version}: no request leaves this machine`, browser.outside.length === 0, browser.outside.join("\n"));
} finally {
  await browser.context.close();
  await server.stop();
  rmSync(temporary, { recursive: true, force: true, maxRetries: 5, retryDelay: 200 });
}
const failed = all.filter((ok) => !ok).length;
console.log(`${all.length - failed} passed, ${failed} failed`);
process.exit(failed > 0 ? 1 : 0);
