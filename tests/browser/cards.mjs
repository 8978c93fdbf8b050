// The working card, the neck card and the bench sheet in a browser: nothing serious for who cannot see them (colours included), one printed sheet of A4 and of Letter each, the working card with its drawing on the back.
import { mkdirSync, readFileSync } from "node:fs";
import { createRequire } from "node:module";
import { join } from "node:path";
import { chromium } from "playwright-core";
import { onPath } from "../../src/setup/on-path.mjs";
import { root } from "../../src/setup/places.mjs";
import { benchSheet, describeNeck, neckCard, planLevelling, surveyNeck, takeReadings, workingCard } from "../../dist/notebook/index.js";

const shots = join(root, "tests", "browser", "shots");
const flags = "--no-sandbox --disable-dev-shm-usage --disable-gpu".split(" ");
const axe = readFileSync(createRequire(import.meta.url).resolve("axe-core/axe.min.js"), "utf8");
const executablePath = process.env["CHROMIUM"] ?? ["chromium", "chromium-browser", "google-chrome"].map(onPath).find((path) => path !== undefined);

/** Many lines of the neck make many rows: the sheet must hold the fullest card too. */
const LINES = { bass: { share: 0.1 }, second: { share: 0.3 }, centre: { share: 0.5 }, fourth: { share: 0.7 }, treble: { share: 0.9 } };

/** @param {readonly string[]} lines */
const table = (lines) => [["fret", ...lines], ["1", ...lines.map(() => "touch")], ["3", ...lines.map(() => "3")], ["5", ...lines.map(() => "7")], ["9", ...lines.map(() => "2")], ["12", ...lines.map(() => "4")], ["14", ...lines.map(() => "1.5")], ["16", ...lines.map(() => "3")], ["19", ...lines.map(() => "light")], ["22", ...lines.map(() => "touch")]].map((row) => row.join("  ")).join("\n");

async function cards() {
  const made = [];
  for (const [name, lines] of /** @type {const} */ ([["three", ["bass", "centre", "treble"]], ["five", Object.keys(LINES)]])) {
    const neck = describeNeck({ name: `Invented, ${name} lines`, scaleLength: "25.5 in", frets: 22, bodyJoint: 16, fingerboardRadius: "12 in", crown: { height: "1.1 mm" }, limits: { fallAway: "0.15 mm" }, ...(name === "five" ? { lines: LINES } : {}) });
    const survey = surveyNeck(neck, takeReadings(neck, `${table(lines)}\nrocked frets 2-21 on ${lines.join(", ")}: still except 9 bass rocks 8, 14 bass rocks 5`, { state: { rod: "neutral", strings: "off" } }));
    made.push({ name: `working-${name}`, html: workingCard(await planLevelling(survey, { rod: { lowMm: -0.3, highMm: 0.1 } })).html }, { name: `neck-${name}`, html: neckCard(survey, { done: ["seated and checked"] }).html });
  }
  for (const [name, of] of /** @type {const} */ ([["usual", { frets: 22 }], ["many", { scaleLength: "34 in", frets: 36, zeroFret: true, name: "A neck with a very long name" }], ["five", { frets: 24, lines: LINES }]])) {
    made.push({ name: `bench-sheet-${name}`, html: benchSheet(describeNeck({ name: "Invented", scaleLength: "25.5 in", bodyJoint: 16, ...of })).html });
  }
  return made;
}

if (executablePath === undefined) throw new Error("There is no chromium on this machine: install it (on Debian: apt-get install chromium), or name one in CHROMIUM");
mkdirSync(shots, { recursive: true });
const browser = await chromium.launch({ executablePath, args: flags });
let failed = 0;
for (const { name, html } of await cards()) {
  const page = await browser.newPage({ viewport: { width: 1060, height: 1400 } });
  await page.setContent(html);
  await page.screenshot({ path: join(shots, `card-${name}.png`), fullPage: true });
  await page.evaluate(axe);
  const found = await page.evaluate(async () => {
    const { violations } = await Reflect.get(window, "axe").run(document);
    return violations.map((/** @type {any} */ one) => `${one.impact} ${one.id}: ${one.nodes[0]?.html.slice(0, 120)}`);
  });
  const serious = found.filter((/** @type {string} */ one) => /^(serious|critical)/.test(one));
  const pages = [];
  for (const format of /** @type {const} */ (["A4", "Letter"])) {
    const pdf = await page.pdf({ format, margin: { top: "10mm", bottom: "10mm", left: "11mm", right: "11mm" }, path: join(shots, `card-${name}-${format}.pdf`) });
    pages.push(`${format} ${(pdf.toString("latin1").match(/\/Type\s*\/Page\b/g) ?? []).length}`);
  }
  const isOneSheet = pages.every((one) => one.endsWith(name.startsWith("working") ? " 2" : " 1"));
  if (serious.length > 0 || !isOneSheet) failed += 1;
  console.log(`${serious.length === 0 && isOneSheet ? "ok     " : "FAILED "} ${name}: sheets ${pages.join(", ")}; findings ${found.length === 0 ? "none" : found.join("; ")}`);
  await page.close();
}
await browser.close();
process.exitCode = failed > 0 ? 1 : 0;
