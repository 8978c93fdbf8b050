import Papa from "papaparse";
import { readFileSync } from "node:fs";

/** One run of the study; columns as in its file. `py` is Infinity where nothing crushes, `kc` where contact is rigid. */
export type StudyRow = { readonly [column in Exclude<Column, "spacing" | "prof" | "law" | "tag">]: number } & { readonly spacing: string; readonly prof: string; readonly law: string; readonly tag: string };

const COLUMNS = ["tag", "S", "N", "t", "d", "h", "EL", "rET", "rG", "nu", "spacing", "nh0", "nh1", "nEL", "chan_frac", "chan_dep", "prof", "law", "kc", "py", "i", "bow_free", "bow_glued", "bow_after", "elong_free", "elong_flat", "elong_after", "w_free", "w_flat", "w_after"] as const;
type Column = (typeof COLUMNS)[number];

/** All runs of the finite-element study. */
export function studyRows(): readonly StudyRow[] {
  const text = readFileSync(new URL("data/tang-pressure-study.csv", import.meta.url), "utf8");
  const parsed = Papa.parse<Record<string, string>>(text, { header: true, skipEmptyLines: true });
  if (parsed.errors.length > 0) throw new SyntaxError(`Cannot read the study: ${parsed.errors[0]?.message ?? ""}`);
  return parsed.data.map((cells) => {
    const number = (column: Column): number => {
      const cell = cells[column] ?? "";
      if (column === "py" && cell === "") return Infinity;
      const value = cell === "inf" ? Infinity : Number(cell);
      if (cell === "" || Number.isNaN(value)) throw new SyntaxError(`Cannot read the study: ${column} is "${cell}"`);
      return value;
    };
    return {
      tag: cells["tag"] ?? "", spacing: cells["spacing"] ?? "", prof: cells["prof"] ?? "", law: cells["law"] ?? "",
      S: number("S"), N: number("N"), t: number("t"), d: number("d"), h: number("h"), EL: number("EL"), rET: number("rET"), rG: number("rG"), nu: number("nu"),
      nh0: number("nh0"), nh1: number("nh1"), nEL: number("nEL"), chan_frac: number("chan_frac"), chan_dep: number("chan_dep"), kc: number("kc"), py: number("py"), i: number("i"),
      bow_free: number("bow_free"), bow_glued: number("bow_glued"), bow_after: number("bow_after"), elong_free: number("elong_free"), elong_flat: number("elong_flat"),
      elong_after: number("elong_after"), w_free: number("w_free"), w_flat: number("w_flat"), w_after: number("w_after"),
    };
  });
}
