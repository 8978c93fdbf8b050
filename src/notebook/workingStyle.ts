import { LEADING } from "./workingSheet.js";

/** The working card: one side of one sheet, black on white, type that is read at arm's length; faces of one width, so that what fits here fits elsewhere. */
export const WORKING_STYLE: string = `
:root { color-scheme: light; }
* { box-sizing: border-box; }
body { margin: 0; background: #ffffff; color: #1b242c; font: var(--type)/${LEADING} Arial, 'Liberation Sans', 'Helvetica Neue', Helvetica, sans-serif; }
main { width: 190mm; max-width: 100%; margin: 0 auto; padding: 4mm 0; }
h1, h2, p, figure, ul, ol { margin: 0; overflow-wrap: anywhere; }
header { display: flex; flex-wrap: wrap; justify-content: space-between; align-items: baseline; gap: 0 5mm; border-bottom: 0.6mm solid #1b242c; padding-bottom: 0.6mm; margin-bottom: 1mm; }
h1 { font-size: 17pt; line-height: 1.15; } .about { font-size: 9pt; }
.headline { font-size: 13.5pt; line-height: 1.2; font-weight: 700; } .why { font-size: 10pt; line-height: 1.18; margin-top: 0.5mm; }
figure svg.main-svg { display: block; width: 100%; height: auto; } figure { margin-top: 1.5mm; }
figcaption { font-size: 8.5pt; line-height: 1.3; } figcaption span { white-space: nowrap; margin-right: 2.5mm; } figcaption svg { width: 6mm; height: 3.4mm; vertical-align: -0.6mm; margin-right: 0.8mm; }
.columns { display: grid; grid-template-columns: minmax(0, 1fr) minmax(0, 1fr); column-gap: 6mm; margin-top: 1.2mm; }
section { margin-bottom: 1.4mm; }
h2 { font-size: var(--type); line-height: ${LEADING}; break-after: avoid; display: inline; } p.does { display: inline; } p.how { font-size: 9.5pt; line-height: ${LEADING}; margin-top: 0.3mm; } .step { display: inline-block; min-width: 1.35em; padding: 0 0.25em; margin-right: 0.4em; background: #1b242c; color: #ffffff; text-align: center; print-color-adjust: exact; -webkit-print-color-adjust: exact; }
section.table h2 { display: block; }
table { border-collapse: collapse; width: 100%; font-variant-numeric: tabular-nums; }
th, td { text-align: left; padding: 0.2mm 1.5mm 0.2mm 0; border-bottom: 0.2mm solid #8b949c; vertical-align: bottom; white-space: nowrap; }  .mark { font-size: 9pt; } thead th { white-space: normal; font-size: 9pt; line-height: 1.1; border-bottom: 0.5mm solid #1b242c; }
tbody th { font-weight: 700; } td.write { width: 50%; border-left: 0.2mm solid #8b949c; }
footer { font-size: 9pt; line-height: 1.2; border-top: 0.2mm solid #1b242c; padding-top: 0.6mm; margin-top: 0.8mm; }
@page { margin: 9mm 10mm; }
@media screen { body { background: #e9e9e6; } main { background: #ffffff; margin: 6mm auto; padding: 9mm 10mm; width: 210mm; } }
@media screen and (max-width: 760px) { .columns { display: block; } main { margin: 0; padding: 5mm; } table { display: block; overflow-x: auto; } }
@media print { main { padding: 0; } }
`;
