/** The look of the bench sheet: black on white, ruled for a pencil. The rows share what one A4 or Letter page has left for them. */
export const BENCH_SHEET_STYLE = `
:root { color-scheme: light; }
* { box-sizing: border-box; }
body { margin: 0; background: #efe8d6; color: #1c242b; font: 11pt/1.25 'Source Sans 3', 'Segoe UI', 'Helvetica Neue', 'Liberation Sans', Arial, sans-serif; }
main { width: 190mm; margin: 8mm auto; padding: 8mm; background: #fff; border: 1px solid #b9ae96; }
header { display: flex; flex-wrap: wrap; align-items: baseline; gap: 0 5mm; border-bottom: 1.5pt solid #1c242b; margin-bottom: 2mm; }
header p { margin: 0; font-size: 10pt; } header p:last-child { margin-left: auto; } .kind { white-space: nowrap; font-style: italic; } header h1 { margin: 0; font: 600 16pt/1.2 'Iowan Old Style', 'Palatino Linotype', Palatino, Georgia, 'DejaVu Serif', serif; overflow-wrap: anywhere; }
table { border-collapse: collapse; width: 100%; }
th { font-weight: 600; text-align: left; }
.state th { width: 16mm; } .state td, .state th { border-bottom: .5pt solid #9a9483; height: 5.2mm; padding: 0 1mm; font-size: 9.5pt; white-space: pre; }
.tick { margin-right: 4mm; } .rest { color: #3d4750; }
.box { display: inline-block; width: 3mm; height: 3mm; border: .8pt solid #1c242b; margin-right: 1mm; vertical-align: -.35mm; }
.readings { margin-top: 2mm; font-variant-numeric: tabular-nums; }
.readings th, .readings td { border: .5pt solid #9a9483; padding: 0 1mm; font-size: 9.5pt; }
.readings tbody tr { height: var(--row); }
.readings tbody tr:nth-child(4n) > * { border-bottom: 1pt solid #1c242b; }
.readings thead th { text-align: center; border-bottom: 1pt solid #1c242b; }
.readings tbody th { width: 15mm; white-space: nowrap; } .readings small { font-weight: 400; font-style: italic; }
.readings tbody th, .readings .from { line-height: 1; } .readings .from { width: 12.5mm; text-align: right; font-size: 8.5pt; }
.readings .rock { width: 35mm; font-size: 8.5pt; white-space: nowrap; } .readings .rock .box { width: 2.6mm; height: 2.6mm; }
.narrow .rock { width: 18mm; } .narrow thead tr:last-child th { font-size: 8pt; } .narrow .from { width: 11mm; font-size: 8pt; }
.readings .joint > * { border-top: 1.5pt double #1c242b; }
.line, .head { margin: 0; height: 6mm; padding-top: 1.6mm; font-size: 8.5pt; line-height: 1.2; white-space: nowrap; }
.line { border-bottom: .5pt solid #9a9483; } .twist { height: 7.4mm; padding-top: 2.6mm; }
.line .gap { display: inline-block; width: 8mm; } .line .gap.wide { width: 15mm; } .line .gap { border-bottom: .5pt dotted #1c242b; }
.bottom { display: flex; gap: 6mm; } .bottom section { flex: 1 1 0; min-width: 0; }
.key { margin: 2mm 0 0; font-size: 8.5pt; line-height: 1.3; }
@page { margin: 10mm; }
@media print { body { background: none; } main { width: auto; margin: 0; padding: 0; border: 0; } }
`;
