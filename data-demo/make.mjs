/** Writes the invented demonstration again: npm run build, then node data-demo/make.mjs */
import { readFileSync } from "node:fs";
import { mkdir, rename, writeFile } from "node:fs/promises";
import { dirname, join } from "node:path";
import { fileURLToPath } from "node:url";
import { adjust, neckFigure, readNeck, readReadingFiles, rodFigure, valueOrThrow } from "../dist/index.js";
import { batchFiles } from "../dist/invented/batchDemo.js";
import { demoFiles } from "../dist/invented/demo.js";
import { adviseRod, openNeck, openReadings, surveyNeck, testRod } from "../dist/notebook/index.js";
import { stillSvg } from "../dist/notebook/still.js";

const folder = dirname(fileURLToPath(import.meta.url));

for (const { path, text } of [...demoFiles(), ...batchFiles()]) await write(path, text);
await write("QUILLFEN-07.svg", picture("QUILLFEN-07"));
await write("QUILLFEN-11-rod.svg", rodPicture("QUILLFEN-11"));

/** The side view of a neck's first survey, for the README. */
function picture(name) {
  const read = (file) => readFileSync(join(folder, name, file), "utf8");
  const neck = valueOrThrow(readNeck(read("neck.json"), `${name}/neck.json`), "the demonstration neck");
  const csv = "01-fretted-and-glued.csv";
  const [sheet] = valueOrThrow(readReadingFiles(neck, [{ source: csv, text: read(csv) }]), "the demonstration readings");
  return stillSvg(neckFigure(adjust(neck, sheet)));
}

/** What the sixth notebook answers, for the README. */
function rodPicture(name) {
  const neck = openNeck(join(folder, name, "neck.json"));
  const sheets = openReadings(neck, join(folder, name, "readings.csv"));
  return stillSvg(rodFigure(adviseRod(surveyNeck(neck, sheets[0]), { strings: "to come", relief: ["0.1 mm", "0.3 mm"], test: testRod(neck, sheets) })));
}

async function write(path, text) {
  const target = join(folder, path);
  await mkdir(dirname(target), { recursive: true });
  await writeFile(`${target}.part`, text);
  await rename(`${target}.part`, target);
  console.log(`written: data-demo/${path}`);
}
