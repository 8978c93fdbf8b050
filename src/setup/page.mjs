// A self-contained page of an executed notebook, for those who have no Jupyter to show it.
import { marked } from "marked";

/** @param {string} text */
const escaped = (text) => text.replace(/[&<>"']/g, (sign) => `&#${sign.charCodeAt(0)};`);

/** @param {unknown} text */
const joined = (text) => (Array.isArray(text) ? text.join("") : String(text));

/** @param {any} output @param {readonly string[]} before */
function outputHtml(output, before) {
  if (output.output_type === "stream") return `<pre class="${output.name === "stderr" ? "stderr" : "stdout"}">${escaped(joined(output.text))}</pre>`;
  const data = output.data ?? {};
  const scripts = before.filter((html) => html.includes("<script")).map((html) => `<div hidden>${html}</div>`).join("");
  if (data["text/html"] !== undefined) return `${scripts}<div>${joined(data["text/html"])}</div>`;
  if (data["image/svg+xml"] !== undefined) return `${scripts}<img alt="" src="data:image/svg+xml;base64,${Buffer.from(joined(data["image/svg+xml"])).toString("base64")}">`;
  if (data["image/png"] !== undefined) return `${scripts}<img alt="" src="data:image/png;base64,${joined(data["image/png"]).trim()}">`;
  if (data["text/markdown"] !== undefined) return `${scripts}<div>${marked.parse(joined(data["text/markdown"]), { async: false })}</div>`;
  return `${scripts}<pre class="stdout">${escaped(joined(data["text/plain"] ?? ""))}</pre>`;
}

/** Other notebooks lie beside this one as pages; files of the project do not. @param {string} source */
const linked = (source) => source.replace(/\]\(([^/():]+)\.ipynb\)/g, "]($1.html)").replace(/\[([^\]]*)\]\(\.\.\/[^)]*\)/g, "$1");

/** @param {any} cell @param {ReadonlyMap<unknown, readonly string[]>} overwritten */
function cellHtml(cell, overwritten) {
  const source = joined(cell.source);
  if (cell.cell_type === "markdown") return `<section class="words">${marked.parse(linked(source), { async: false })}</section>`;
  if (cell.cell_type !== "code" || source.trim() === "") return "";
  const outputs = (cell.outputs ?? []).map((/** @type {any} */ output) => outputHtml(output, overwritten.get(output) ?? [])).join("\n");
  return `<section class="cell"><pre class="source">${escaped(source)}</pre>${outputs}</section>`;
}

const style = `
  :root { color-scheme: light; }
  body { margin: 2rem auto; max-width: 62rem; padding: 0 1rem; font: 16px/1.5 system-ui, sans-serif; color: #222; background: #fff; }
  pre { overflow-x: auto; padding: .6rem .8rem; margin: .4rem 0; font-size: 14px; white-space: pre-wrap; }
  .source { background: #f4f1ea; border-left: 3px solid #b9a98a; }
  .stderr { background: #fbecec; }
  img { max-width: 100%; }
  table { border-collapse: collapse; } td, th { padding: .15rem .7rem; border-bottom: 1px solid #ddd; }
  .note { color: #666; font-size: 14px; }`;

/**
 * @param {{ cells: readonly any[] }} notebook executed
 * @param {string} name what the page is called
 * @param {ReadonlyMap<unknown, readonly string[]>} overwritten by output: the HTML it held before it was overwritten, oldest first
 * @returns {string} one HTML page that asks nothing of a network
 */
export function executedPage(notebook, name, overwritten) {
  return `<!doctype html>
<html lang="en"><head><meta charset="utf-8"><meta name="viewport" content="width=device-width"><title>${escaped(name)}</title><style>${style}</style></head>
<body>
<p class="note">${escaped(name)}, run without Jupyter. To change it: edit the notebook's cells, then start again.</p>
${notebook.cells.map((cell) => cellHtml(cell, overwritten)).join("\n")}
</body></html>
`;
}
