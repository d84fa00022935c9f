/** Of every document: black on white, in points, so that it looks on paper as it does on a screen. */
export const PRINT_STYLE = `
@page { margin: 16mm 15mm 18mm }
* { box-sizing: border-box }
html { background: #fff; color: #1a1a1a; font: 10.5pt/1.4 "Liberation Sans", Arial, Helvetica, sans-serif }
body { margin: 0 }
main { max-width: 180mm; margin: 0 auto; padding: 8mm 5mm }
header { border-bottom: 2pt solid #1a1a1a; margin-bottom: 5mm }
h1 { font-size: 18pt; line-height: 1.2; margin: 0 0 2mm }
h2 { font-size: 13pt; margin: 6mm 0 2mm; border-bottom: .5pt solid #8a94a3 }
h3 { font-size: 11pt; margin: 4mm 0 1.5mm }
h1, h2, h3 { break-after: avoid }
p { margin: 0 0 2mm }
ul { margin: 0 0 2mm; padding-left: 6mm }
li { margin-bottom: 1mm }
.draft, .signed { font-weight: bold }
.draft { border: 1.5pt solid #1a1a1a; padding: 1mm 2mm; display: inline-block }
table { border-collapse: collapse; width: 100%; margin: 1mm 0 3mm }
th, td { border: .5pt solid #8a94a3; padding: 1mm 1.8mm; text-align: left; vertical-align: top }
thead th { background: #e3e8ef }
tbody th { font-weight: bold }
.pairs th { width: 27% }
tr { break-inside: avoid }
figure { display: inline-block; vertical-align: top; margin: 3mm 0; max-width: 49%; break-inside: avoid }
figure svg { max-width: 100%; height: auto }
.wide { overflow-x: auto }
.blanks { margin: 2mm 0 3mm }
.blanks div { display: flex; align-items: end; margin-top: 6mm; break-inside: avoid }
.blanks dt { flex: 0 0 34% }
.blanks dd { flex: 1; margin: 0; border-bottom: .75pt solid #1a1a1a; min-height: 6mm }
#about { font-size: 9pt; color: #333 }
.large { font-size: 18pt; line-height: 1.45 }
.large main { max-width: none }
.large h1 { font-size: 26pt }
.large h2 { font-size: 22pt }
.large h3, .large #about { font-size: 18pt }
.brief tbody th { white-space: nowrap }
@media screen and (max-width: 700px) { .large { font-size: 15pt } .large h1 { font-size: 20pt } .large h2 { font-size: 17pt } .large h3, .large #about { font-size: 15pt } .brief tbody th { white-space: normal } th, td { padding: 1mm } figure { max-width: 100% } .blanks div { flex-wrap: wrap } .blanks dt, .blanks dd { flex-basis: 100% } }
@media print { figure { max-width: 49% } main { padding: 0; max-width: none } .wide { overflow: visible } }
`.replaceAll(/\n\s*/g, '\n')
