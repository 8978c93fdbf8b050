// The working card, the neck card and the bench sheet in a browser: nothing serious for who cannot see them (colours included), one printed side of A4 and of Letter each; type and room of the working card. Names of cards may be given: node tests/browser/cards.mjs working-hard
import { mkdirSync, readdirSync, readFileSync } from "node:fs";
import { createRequire } from "node:module";
import { join } from "node:path";
import { chromium } from "playwright-core";
import { onPath } from "../../src/setup/on-path.mjs";
import { root } from "../../src/setup/places.mjs";
import { MOSSLARK } from "../advice/levelPlan/mosslark.mjs";
import { benchSheet, describeNeck, neckCard, openReadings, planLevelling, surveyNeck, takeReadings, workingCard } from "../../dist/notebook/index.js";

const shots = join(root, "tests", "browser", "shots");
const flags = "--no-sandbox --disable-dev-shm-usage --disable-gpu".split(" ");
const axe = readFileSync(createRequire(import.meta.url).resolve("axe-core/axe.min.js"), "utf8");
const executablePath = process.env["CHROMIUM"] ?? ["chromium", "chromium-browser", "google-chrome"].map(onPath).find((path) => path !== undefined);

/** Many lines of the neck make many rows: the sheet must hold the fullest card too. */
const LINES = { bass: { share: 0.1 }, second: { share: 0.3 }, centre: { share: 0.5 }, fourth: { share: 0.7 }, treble: { share: 0.9 } };

/** @param {readonly string[]} lines */
const table = (lines) => [["fret", ...lines], ["1", ...lines.map(() => "touch")], ["3", ...lines.map(() => "3")], ["5", ...lines.map(() => "7")], ["9", ...lines.map(() => "2")], ["12", ...lines.map(() => "4")], ["14", ...lines.map(() => "1.5")], ["16", ...lines.map(() => "3")], ["19", ...lines.map(() => "light")], ["22", ...lines.map(() => "touch")]].map((row) => row.join("  ")).join("\n");

/** Everything at once: 24 frets, a long name, a rod that is not known, three frets to seat, a tongue that falls away, readings with a gap, limits of its own. */
const HARD = {
  neck: { name: "Invented, with a name as long as a builder may give it, second of two", scaleLength: "25.5 in", frets: 24, bodyJoint: 17, fingerboardRadius: { nut: "10 in", lastFret: "16 in" }, crown: { height: "1.1 mm" }, limits: { fallAway: "0.2 mm", crownMin: "0.8 mm" } },
  readings: MOSSLARK.readings.replace(/^ *22 .*$/m, "24 touch touch -").replaceAll("2-21", "2-22"),
  state: { rod: "1/4 turn clockwise from where it was found", strings: "off" },
};

/** @param {Record<string, unknown>} neckFile @param {string} readings @param {Record<string, string>} state */
const surveyOf = (neckFile, readings, state) => {
  const neck = describeNeck(neckFile);
  return surveyNeck(neck, takeReadings(neck, readings, { stage: "before levelling", date: "2026-05-11", state }));
};

/** A demonstration neck with the wire stated, so that a levelling can be planned. @param {string} name */
const demo = (name) => {
  const folder = join(root, "data-demo", name);
  const neck = describeNeck({ crown: { height: "1.1 mm" }, ...JSON.parse(readFileSync(join(folder, "neck.json"), "utf8")) });
  const file = readdirSync(folder).filter((one) => one.endsWith(".csv")).sort()[0] ?? "";
  return surveyNeck(neck, openReadings(neck, join(folder, file))[0]);
};

/** Whether a card of this name was asked for; all are where none is named. @param {string} name */
const isWanted = (name) => process.argv.length < 3 || process.argv.slice(2).some((part) => name.includes(part));

async function cards() {
  const made = [];
  const three = { name: "Invented, three lines", scaleLength: "25.5 in", frets: 22, bodyJoint: 16, fingerboardRadius: "12 in", crown: { height: "1.1 mm" }, limits: { fallAway: "0.15 mm" } };
  const rocked = (/** @type {readonly string[]} */ lines) => `${table(lines)}\nrocked frets 2-21 on ${lines.join(", ")}: still except 9 bass rocks 8, 14 bass rocks 5`;
  /** @type {readonly (readonly [string, ReturnType<typeof surveyNeck>])[]} */
  const surveys = [
    ["three", surveyOf(three, rocked(["bass", "centre", "treble"]), { rod: "neutral", strings: "off" })],
    ["five", surveyOf({ ...three, name: "Invented, five lines", lines: LINES }, rocked(Object.keys(LINES)), { rod: "neutral", strings: "off" })],
    ["one", surveyOf({ ...three, name: "Invented, one line", lines: { centre: { share: 0.5 } }, limits: {} }, table(["centre"]), { strings: "off" })],
    ["hard", surveyOf(HARD.neck, HARD.readings, HARD.state)],
    ...["QUILLFEN-07", "QUILLFEN-09", "QUILLFEN-10", "QUILLFEN-12", "QUILLFEN-13"].map((name) => /** @type {const} */ ([name, demo(name)])),
  ];
  for (const [name, survey] of surveys) {
    for (const order of name === "hard" || name === "five" ? ["mm first", "thou first"] : ["mm first"]) {
      const called = order === "mm first" ? name : `${name}-thou`;
      if (isWanted(`neck-${called}`)) made.push({ name: `neck-${called}`, html: neckCard(survey, { done: ["seated and checked"] }, order).html });
      if (!isWanted(`working-${called}`)) continue;
      const plan = await planLevelling(survey, { rod: { lowMm: -0.3, highMm: 0.1 }, mayBeSeated: [] });
      if (plan.status === "planned") made.push({ name: `working-${called}`, html: workingCard(plan, order).html });
      else console.log(`no plan for ${called}: ${plan.describe()}`);
    }
  }
  for (const [name, limits] of /** @type {const} */ ([["today", {}], ["not-yet", { crownMin: "1.05 mm" }]])) {
    if (!isWanted(`working-${name}`)) continue;
    const plan = await planLevelling(surveyOf({ ...HARD.neck, limits: { ...HARD.neck.limits, ...limits } }, HARD.readings, HARD.state), name === "today" ? {} : { rod: { lowMm: -0.3, highMm: 0.1 } });
    if (plan.status === "planned") made.push({ name: `working-${name}`, html: workingCard(plan).html });
    else console.log(`no plan for ${name}: ${plan.describe()}`);
  }
  for (const [name, of] of /** @type {const} */ ([["usual", { frets: 22 }], ["many", { scaleLength: "34 in", frets: 36, zeroFret: true, name: "A neck with a very long name" }], ["five", { frets: 24, lines: LINES }]])) {
    made.push({ name: `bench-sheet-${name}`, html: benchSheet(describeNeck({ name: "Invented", scaleLength: "25.5 in", bodyJoint: 16, ...of })).html });
  }
  return made.filter(({ name }) => isWanted(name));
}

/** How a working card comes out on paper: type of the steps, its x-height in the face at hand, height of a panel, what is left of the lesser sheet. @param {import("playwright-core").Page} page */
async function inPrint(page) {
  await page.emulateMedia({ media: "print" });
  await page.setViewportSize({ width: 718, height: 1000 });
  return page.evaluate(() => {
    const MM = 25.4 / 96;
    const step = document.querySelector(".columns p") ?? document.body;
    const typePx = Number.parseFloat(getComputedStyle(step).fontSize);
    const probe = document.createElement("span");
    Object.assign(probe.style, { display: "inline-block", width: "100ex", font: getComputedStyle(step).font });
    step.append(probe);
    const xHeightMm = (probe.getBoundingClientRect().width / 100) * MM;
    probe.remove();
    const panel = document.querySelector("figure .plot .nsewdrag, figure .bglayer, figure .xy")?.getBoundingClientRect().height ?? 0;
    const main = document.querySelector("main")?.getBoundingClientRect().height ?? 0;
    return { typePt: Math.round(typePx * 7.5) / 10, xHeightMm, panelMm: panel * MM, freeMm: 279.4 - 18 - main * MM };
  });
}

if (executablePath === undefined) throw new Error("There is no chromium on this machine: install it (on Debian: apt-get install chromium), or name one in CHROMIUM");
mkdirSync(shots, { recursive: true });
const browser = await chromium.launch({ executablePath, args: flags, timeout: 180_000 });
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
  const isOneSheet = pages.every((one) => one.endsWith(" 1"));
  const printed = name.startsWith("working") && !name.endsWith("not-yet") ? await inPrint(page) : undefined;
  const isLegible = printed === undefined || printed.typePt >= (name.includes("hard") || name.includes("five") ? 10.6 : 12.1);
  const ok = serious.length === 0 && isOneSheet && isLegible;
  if (!ok) failed += 1;
  console.log(`${ok ? "ok     " : "FAILED "} ${name}: sheets ${pages.join(", ")}; findings ${found.length === 0 ? "none" : found.join("; ")}${printed === undefined ? "" : `; type ${printed.typePt} pt, x-height ${printed.xHeightMm.toFixed(2)} mm, panels ${printed.panelMm.toFixed(0)} mm, ${printed.freeMm.toFixed(0)} mm of Letter free`}`);
  await page.close();
}
await browser.close();
process.exitCode = failed > 0 ? 1 : 0;
