import { escaped } from "../figures/text.js";

/** A column of a table for show: texts on the left, numbers on the right with fixed decimals. */
export type TableColumn =
  | { readonly heading: string; readonly texts: readonly string[] }
  | { readonly heading: string; readonly numbers: readonly number[]; readonly decimals: number };

/** Texts of so many letters, such as a place, are not broken. */
const SHORT = 8;

/** An HTML table whose cells are escaped and whose numbers stand under each other. */
export function tableHtml(columns: readonly TableColumn[], caption = ""): string {
  const rows = Math.max(0, ...columns.map((column) => ("texts" in column ? column.texts.length : column.numbers.length)));
  const head = columns.map((column) => `<th scope="col" style="text-align:${side(column)}">${escaped(column.heading)}</th>`).join("");
  const body = Array.from({ length: rows }, (_, row) => `<tr>${columns.map((column) => cellHtml(column, row)).join("")}</tr>`).join("");
  const title = caption === "" ? "" : `<caption style="text-align:left">${escaped(caption)}</caption>`;
  return `<table class="tex2jax_ignore mathjax_ignore">${title}<thead><tr>${head}</tr></thead><tbody>${body}</tbody></table>`;
}

/** The same table as lines of plain text. */
export function tableText(columns: readonly TableColumn[]): string {
  const cells = columns.map((column) => [column.heading, ...("texts" in column ? column.texts : column.numbers.map((value) => fixed(value, column.decimals)))]);
  const widths = cells.map((column) => Math.max(...column.map((cell) => cell.length)));
  const rows = Math.max(0, ...cells.map((column) => column.length));
  return Array.from({ length: rows }, (_, row) => cells.map((column, at) => padded(column[row] ?? "", widths[at] ?? 0, columns[at])).join("  ").trimEnd()).join("\n");
}

function padded(cell: string, width: number, column: TableColumn | undefined): string {
  return column !== undefined && "numbers" in column ? cell.padStart(width) : cell.padEnd(width);
}

function side(column: TableColumn): string {
  return "texts" in column ? "left" : "right";
}

function cellHtml(column: TableColumn, row: number): string {
  const text = "texts" in column ? (column.texts[row] ?? "") : fixed(column.numbers[row] ?? Number.NaN, column.decimals);
  return `<td style="text-align:${side(column)};font-variant-numeric:tabular-nums${text.length > SHORT ? "" : ";white-space:nowrap"}">${escaped(text)}</td>`;
}

/** Fixed decimals, a true minus sign, no minus before zero; a missing number is a dash. */
export function fixed(value: number, decimals: number): string {
  if (!Number.isFinite(value)) return "–";
  const text = value.toFixed(decimals);
  return Number(text) === 0 ? text.replace("-", "") : text.replace("-", "−");
}
