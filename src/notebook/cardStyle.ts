/** The look of the card: the sheet of the figures, on screen and on A4 or Letter paper. */
export const CARD_STYLE = `
:root { color-scheme: light; }
* { box-sizing: border-box; }
body { margin: 0; background: #efe8d6; color: #26313a; font: 16px/1.5 'Source Sans 3', 'Segoe UI', 'Helvetica Neue', 'Liberation Sans', Arial, sans-serif; }
main { max-width: 980px; margin: 24px auto; padding: 28px 40px 20px; background: #fbf7ec; border: 1px solid #b9ae96; }
header { border-bottom: 2px solid #26313a; margin-bottom: 18px; padding-bottom: 6px; }
header p { margin: 0 0 4px; color: #56606a; }
.kind { font-style: italic; }
h1, h2, h3 { font-family: 'Iowan Old Style', 'Palatino Linotype', Palatino, 'Book Antiqua', Georgia, 'DejaVu Serif', serif; font-weight: 600; line-height: 1.2; overflow-wrap: anywhere; }
h1 { font-size: 30px; margin: 0 0 4px; }
h2 { font-size: 21px; margin: 22px 0 8px; }
h3 { font-size: 17px; margin: 24px 0 6px; }
p { margin: 0 0 8px; max-width: 46em; overflow-wrap: anywhere; }
.headline { font-size: 20px; line-height: 1.35; }
.small, footer { font-size: 14px; color: #4c565f; }
footer { border-top: 1px solid #b9ae96; margin-top: 24px; padding-top: 8px; }
figure { margin: 16px -20px; }
figure svg { display: block; width: 100%; height: auto; }
ul { margin: 0; padding-left: 1.2em; } li { margin: 2px 0; max-width: 46em; overflow-wrap: anywhere; }
table { border-collapse: collapse; width: 100%; font-size: 14.5px; font-variant-numeric: tabular-nums; }
th, td { text-align: left; vertical-align: top; padding: 4px 10px 4px 0; border-bottom: 1px solid #ddd3bc; overflow-wrap: break-word; }
thead th { border-bottom: 1.5px solid #26313a; vertical-align: bottom; }
tbody th { font-weight: 600; white-space: nowrap; }
.numbers td, .numbers thead th { text-align: right; } .numbers thead th[rowspan], .numbers tbody th { text-align: left; } .numbers td.end { text-align: center; font-style: italic; color: #4c565f; }
.numbers thead tr:first-child th { border-bottom: 1px solid #b9ae96; } .numbers thead th[scope=colgroup] { text-align: center; }
.survey + .survey { border-top: 2px solid #26313a; margin-top: 32px; }
@media (max-width: 640px) { main { margin: 0; padding: 16px; border: 0; } figure { margin: 12px 0; } table { display: block; overflow-x: auto; } }
@page { margin: 12mm; }
@media print {
  body { background: none; font-size: 10pt; line-height: 1.35; }
  main { max-width: none; margin: 0; padding: 0; border: 0; background: none; }
  header { margin-bottom: 6pt; padding-bottom: 2pt; } header p { margin: 0; } p { margin: 0 0 3pt; max-width: none; } li { max-width: none; margin: 1pt 0; }
  figure { margin: 6pt 0 0; } figure svg { max-height: 145mm; print-color-adjust: exact; -webkit-print-color-adjust: exact; }
  h1 { font-size: 18pt; margin: 0; } h2 { font-size: 13pt; margin: 6pt 0 4pt; } h3 { font-size: 11.5pt; margin: 11pt 0 3pt; } .headline { font-size: 12.5pt; } table { font-size: 9pt; line-height: 1.25; } .small, footer { font-size: 8.5pt; }
  th, td { padding: 2pt 8pt 2pt 0; } footer { margin-top: 12pt; padding-top: 4pt; }
  h2, h3 { break-after: avoid; } tr, figure, li { break-inside: avoid; } thead { display: table-header-group; break-after: avoid; } p { orphans: 3; widows: 3; }
  tbody tr:nth-child(-n+3) { break-after: avoid; } tbody tr:nth-last-child(-n+3) { break-before: avoid; }
  .survey + .survey { break-before: page; border-top: 0; }
}
`;
