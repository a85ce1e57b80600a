/** The style of a report: black on white paper, whatever the screen's light; one A4 page where the winter allows it. */
export const reportCss = `
@page { size: A4; margin: 12mm }
* { box-sizing: border-box; margin: 0 }
html { background: #fff; color: #000 }
body { max-width: 186mm; margin: 0 auto; padding: 4mm; font: 10pt/1.35 system-ui, "Segoe UI", Roboto, "Noto Sans", "Liberation Sans", Arial, sans-serif; font-variant-numeric: tabular-nums }
@media print { body { padding: 0; max-width: none } }
h1 { font-size: 16pt; line-height: 1.2 }
h2 { font-size: 11pt; margin-top: 4mm; padding-bottom: 0.5mm; border-bottom: 0.3mm solid #bbb }
.soft { color: #444 }
.lead { margin-top: 2mm; font-size: 11pt }
.columns { display: grid; grid-template-columns: repeat(auto-fit, minmax(70mm, 1fr)); column-gap: 8mm }
section { break-inside: avoid }
table { width: 100%; margin-top: 1mm; border-collapse: collapse; font-size: 9pt }
th, td { padding: 0.6mm 2mm 0.6mm 0; text-align: left; vertical-align: top; border-bottom: 0.2mm solid #ddd }
th { font-weight: 600 }
td.n, th.n { text-align: right; white-space: nowrap }
.wide { overflow-x: auto }
ul { padding-left: 4mm; font-size: 9pt }
svg { display: block; width: 100%; height: auto; margin-top: 2mm; font-size: 8.5px }
svg text { fill: #444 }
.band { fill: #e9e9e4 }
.grid { stroke: #ccc; stroke-width: 0.5 }
.range { stroke: #777 }
.mean { fill: none; stroke: #000; stroke-width: 1.2 }
footer { margin-top: 4mm; padding-top: 1mm; border-top: 0.3mm solid #bbb; font-size: 8.5pt }
`
