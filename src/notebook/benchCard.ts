import { escaped } from "../figures/text.js";
import type { Figure } from "../figures/figure.js";
import { CARD_STYLE } from "./cardStyle.js";
import { drawnNow } from "./drawing.js";
import { htmlPage } from "./htmlPage.js";

/** What is on top of a card: what kind of card, which neck, a line about it. */
export type CardHead = { readonly kind: string; readonly name: string; readonly about: string };

/** Tighter than the survey's card, so that all of it stays on one sheet of A4 or Letter. */
const ONE_SHEET = `
main { padding-bottom: 12px; } .two { columns: 2; column-gap: 28px; } .two section { break-inside: avoid; } .two h2, h2 { font-size: 17px; margin: 12px 0 2px; } .two section:first-child h2 { margin-top: 0; }
td.write { min-width: 5.5em; border-bottom: 1px solid #26313a; } .box { display: inline-block; width: 0.85em; height: 0.85em; border: 1.5px solid #26313a; margin-right: 0.45em; vertical-align: -0.08em; text-align: center; line-height: 0.75em; font-weight: 700; }
.state { font-weight: 600; white-space: nowrap; } ul.plain { list-style: none; padding: 0; } tbody th { white-space: normal; }
@media print {
  @page { margin: 10mm 11mm; }
  body { font-size: 8.2pt; line-height: 1.2; } h1 { font-size: 14pt; } .kind { font-size: 8.2pt; } .headline { font-size: 11pt; } header { margin-bottom: 2pt; padding-bottom: 1pt; } h2, .two h2 { font-size: 9.5pt; margin: 3pt 0 0; } p { margin: 0 0 1pt; } ul { margin: 0; } li { margin: 0; }
  figure { margin: 2pt 0; } figure svg { max-height: 68mm; } figure.tall { margin: 1mm 0 0; } figure.tall svg { max-height: 78mm; margin: 0 auto; } figcaption { font-size: 7.5pt; line-height: 1.15; } table { font-size: 7.8pt; line-height: 1.1; } th, td { padding: 0.5pt 6pt 0.5pt 0; } footer { margin-top: 3pt; padding-top: 1pt; font-size: 7.5pt; } .two { column-gap: 6mm; } .small { font-size: 7.5pt; }
  table.limits { table-layout: fixed; } .limits th:nth-child(1) { width: 12.5%; } .limits th:nth-child(2) { width: 8.5%; } .limits th:nth-child(3) { width: 18.5%; } .limits th:nth-child(4) { width: 25.5%; }
  tbody tr:nth-child(-n+3), tbody tr:nth-last-child(-n+3) { break-after: auto; break-before: auto; }
}
`;

/** A page of its own that prints on one sheet; `body` must be escaped already. */
export function benchPage({ kind, name, about }: CardHead, body: string): { readonly html: string; readonly title: string } {
  const title = `${name}: ${kind.charAt(0).toLowerCase()}${kind.slice(1)}`;
  const html = htmlPage({ title, style: `${CARD_STYLE}${ONE_SHEET}`, main: `<main>
<header><p class="kind">${escaped(kind)}</p><h1>${escaped(name)}</h1><p>${escaped(about)}</p></header>
${body}
</main>` });
  return { html, title };
}

/** A figure as a picture with its sentence as text alternative; a `tall` one gets more of the printed sheet. */
export function pictured(figure: Figure, kind: "tall" | "" = ""): string {
  return `<figure${kind === "" ? "" : ` class="${kind}"`}>${drawnNow(figure).replace(/^<svg /, `<svg role="img" aria-label="${escaped(figure.alt)}" `)}</figure>`;
}

/** Sentences as paragraphs. */
export function told(sentences: readonly string[], kind = ""): string {
  return sentences.map((sentence) => `<p${kind === "" ? "" : ` class="${kind}"`}>${escaped(sentence)}</p>`).join("\n");
}

/** A part of a card under its heading. */
export function part(heading: string, html: string): string {
  return html === "" ? "" : `<section><h2>${escaped(heading)}</h2>\n${html}</section>`;
}

/** Points as a list. */
export function listed(items: readonly string[]): string {
  return items.length === 0 ? "" : `<ul>${items.map((item) => `<li>${escaped(item)}</li>`).join("")}</ul>`;
}
