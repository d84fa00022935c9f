import { escapeXhtml } from '../fhir/narrative.ts'
import type { PaperDocument, Piece, Section, Table } from './document.ts'
import { PRINT_STYLE } from './print-style.ts'

/**
 * A document as one page of HTML that needs nothing else: no script, no picture or font from elsewhere. It prints
 * on A4 and on Letter.
 */
export function documentHtml(document: PaperDocument): string {
  const { language, title, standing, sections, large } = document
  return [
    '<!doctype html>',
    `<html lang="${language}"><head><meta charset="utf-8">`,
    '<meta name="viewport" content="width=device-width, initial-scale=1">',
    `<title>${escapeXhtml(title)}</title><style>${PRINT_STYLE}</style></head>`,
    `<body${large ? ' class="large"' : ''}><main>`,
    `<header><h1>${escapeXhtml(title)}</h1>`,
    `<p class="${standing.isSigned ? 'signed' : 'draft'}">${escapeXhtml(standing.label)}</p></header>`,
    ...sections.map(sectionHtml),
    '</main></body></html>',
  ].join('\n')
}

const sectionHtml = ({ id, title, pieces }: Section): string =>
  `<section id="${id}" aria-labelledby="${id}-title"><h2 id="${id}-title">${escapeXhtml(title)}</h2>\n${pieces.map((piece) => pieceHtml(piece, title)).join('\n')}</section>`

function pieceHtml(piece: Piece, title: string): string {
  switch (piece.kind) {
    case 'paragraph':
      return `<p>${escapeXhtml(piece.text)}</p>`
    case 'heading':
      return `<h3>${escapeXhtml(piece.text)}</h3>`
    case 'list':
      return `<ul>${piece.items.map((item) => `<li>${escapeXhtml(item)}</li>`).join('')}</ul>`
    case 'table':
      return tableHtml(piece, title)
    case 'picture':
      // An SVG of ours has its own title and description, and is escaped where it is made.
      return `<figure>${piece.picture.svg}</figure>`
    case 'blanks':
      return `<dl class="blanks">${piece.labels
        .map((label) => `<div><dt>${escapeXhtml(label)}</dt><dd></dd></div>`)
        .join('')}</dl>`
  }
}

/** A table that is wider than a screen scrolls by itself, also with the keyboard. */
const tableHtml = ({ head, rows }: Table, title: string): string =>
  `<div class="wide" role="group" tabindex="0" aria-label="${escapeXhtml(title)}"><table${classOf(head, rows)}>${headHtml(head)}<tbody>${rows
    .map(rowHtml)
    .join('\n')}</tbody></table></div>`

/** Dates and other short names of rows stay on one line, where there is room. */
const BRIEF = 24

function classOf(head: Table['head'], rows: Table['rows']): string {
  if (head.length === 0) return ' class="pairs"'
  return rows.every(([first = '']) => first.length <= BRIEF) ? ' class="brief"' : ''
}

const headHtml = (head: readonly string[]): string =>
  head.length === 0
    ? ''
    : `<thead><tr>${head.map((cell) => `<th scope="col">${escapeXhtml(cell)}</th>`).join('')}</tr></thead>`

const rowHtml = ([first = '', ...cells]: readonly string[]): string =>
  `<tr><th scope="row">${escapeXhtml(first)}</th>${cells
    .map((cell) => `<td>${escapeXhtml(cell)}</td>`)
    .join('')}</tr>`
