import { fretDistanceMm, fretTops } from "../neck/frets.js";
import { nearestTop } from "../shape/span.js";
import type { Neck } from "../neck/neck.js";
import { escaped } from "../figures/text.js";

type Cell = { readonly cell_type: "markdown" | "code"; readonly text: string };

/**
 * The notebook of a new neck, as JSON text (nbformat 4.5): reads the neck file and the readings sheet beside it.
 * @param date ISO 8601 day for a table typed into the notebook
 */
export function newNotebook(neck: Neck, date: string): string {
  const cells = cellsOf(neck, date).map(({ cell_type, text }, index) => {
    const common = { cell_type, id: `neck-${index + 1}`, metadata: {}, source: text.split(/(?<=\n)/) };
    return cell_type === "code" ? { ...common, execution_count: null, outputs: [] } : common;
  });
  const notebook = {
    cells,
    metadata: { kernelspec: { display_name: "TypeScript", language: "typescript", name: "tslab" }, language_info: { file_extension: ".ts", mimetype: "text/typescript", name: "typescript" } },
    nbformat: 4, nbformat_minor: 5,
  };
  return `${JSON.stringify(notebook, null, 1)}\n`;
}

function cellsOf(neck: Neck, date: string): readonly Cell[] {
  const words = (text: string): Cell => ({ cell_type: "markdown", text });
  const code = (text: string): Cell => ({ cell_type: "code", text });
  const quick = quickPlaces(neck);
  return [
    words(`# ${escaped(neck.name)}: which way does it bow, where, and what next?\n\nOne reading first: lay the edge along the ${quick.line} line on frets ${quick.from} and ${quick.to}, do not press, and see which leaf goes under it at fret ${quick.middle}. Write that leaf (thou) in place of the \`-\` in this cell, and press **Shift + Enter**.`),
    code(`import { openNeck, openReadings, takeReadings, surveyNeck, quickLook } from "neck-survey/notebook";\nimport { tell, show, heightsTable, saveCard, fretReport, adviseRod } from "neck-survey/notebook";\n\nconst neck = openNeck("neck.json");\nquickLook(neck, \`\n${quickTable(quick)}\n\`);`),
    words("If it does not touch on both frets but rocks on a high middle, the neck is in back bow (middle high): `docs/at-the-bench.md` says how to read that."),
    words("## The whole neck\n\nFill `readings.csv` in a spreadsheet (or see *Type them here* below), then *Run*, *Run All Cells*. Print `bench-sheet.html` to write on at the bench. An empty gap is a place that was not read. Name a new stage or date in the sheet for a new survey; below, the last one is worked out."),
    code(`const surveys = openReadings(neck, "readings.csv").map((sheet) => surveyNeck(neck, sheet));\nconst survey = surveys[surveys.length - 1];`),
    words(`<details><summary>Type them here instead</summary>\n\nPut this in place of the cell above, with your readings where the \`-\` are:\n\n\`\`\`ts\n${tableCode(neck, date)}\n\`\`\`\n\n</details>`),
    words("## The verdict"),
    code("tell(survey);"),
    words("**Before you act on it.** Let the neck settle and read again if it was just glued, strung or moved from another room. If you then turn the rod: never more than a quarter turn at a time, wait, read again, and stop if it gets stiff quickly or creaks."),
    code("show(survey);"),
    words("## Which frets are high, and what to do with each"),
    code("const frets = fretReport(survey);\ntell(frets);\nshow(frets);"),
    words("## The rod\n\n`strings: \"to come\"` adds what strings at pitch will do, by the books; put `strings: \"none\"` when the neck goes out bare. Strings that were on while you read are not added again."),
    code(`const rod = adviseRod(survey, { strings: "to come" });\ntell(rod);\nshow(rod);`),
    words("## The numbers"),
    code("show(heightsTable(survey));"),
    words("## A card for the drawer"),
    code(`saveCard(surveys, "card.html");`),
  ];
}

/** Where three readings say most: the ends of what strings and rod bend, and the fret nearest midway. */
type QuickPlaces = { readonly line: string; readonly from: number; readonly middle: number; readonly to: number };

function quickPlaces(neck: Neck): QuickPlaces {
  const [from, to] = [fretTops(neck)[0] ?? 1, neck.bodyJoint ?? neck.frets];
  const midwayMm = (fretDistanceMm(neck.scaleLengthMm, from) + fretDistanceMm(neck.scaleLengthMm, to)) / 2;
  const lines = neck.lines.map(({ name }) => name);
  return { line: lines.find((name) => name === "centre") ?? lines[0] ?? "centre", from, middle: nearestTop(neck, midwayMm).fret, to };
}

function quickTable({ line, from, middle, to }: QuickPlaces): string {
  return [["fret", line], [from, "touch"], [middle, "-"], [to, "touch"]].map(([fret, gap]) => `  ${String(fret).padEnd(6)}${gap}`).join("\n");
}

/** The table as it is typed: one row a fret, one column a line, nothing read yet. */
function tableCode(neck: Neck, date: string): string {
  const heads = ["fret", ...neck.lines.map(({ name }) => name)];
  const widths = heads.map((head) => Math.max(head.length, 5) + 2);
  const row = (cells: readonly string[]): string => `  ${cells.map((cell, index) => cell.padEnd(widths[index] ?? 0)).join("")}`.trimEnd();
  const rows = fretTops(neck).map((fret) => row([String(fret), ...neck.lines.map(() => "-")]));
  return [`const survey = surveyNeck(neck, takeReadings(neck, \``, row(heads), ...rows, `\`, { stage: "first readings", date: "${date}" }));`, "const surveys = [survey];"].join("\n");
}
