import { createRequire } from 'node:module'
import type { Content, TDocumentDefinitions } from 'pdfmake/interfaces.js'
import { z } from 'zod'
import type { PaperSize } from '../fhir/document-parameters.ts'
import type { PaperDocument, Piece, Section, Table } from './document.ts'

/**
 * A document as PDF, with its title and language. It is not tagged: a reader of screens finds its text in order,
 * but no headings and no table headers; for those there is the HTML.
 *
 * @param at the instant that the file gives as its creation, so that the same document is the same file
 */
export async function documentPdf(
  document: PaperDocument,
  size: PaperSize,
  at: Date,
): Promise<Buffer> {
  // Twenty megabytes that a process needs when it prints for the first time, if ever.
  const { default: pdfmake } = await import('pdfmake')
  install(pdfmake)
  return pdfmake.createPdf(definitionOf(document, size, at)).getBuffer()
}

type Pdfmake = typeof import('pdfmake')

const Fonts = z.record(
  z.string(),
  z.object({
    normal: z.string(),
    bold: z.string(),
    italics: z.string(),
    bolditalics: z.string(),
  }),
)

/** The font comes with the package; nothing else is read and nothing is fetched, whatever a document says. */
function install(pdfmake: Pdfmake): void {
  const fonts = Fonts.parse(createRequire(import.meta.url)('pdfmake/fonts/Roboto'))
  const files = new Set(Object.values(fonts).flatMap((font) => Object.values(font)))
  pdfmake.setFonts(fonts)
  pdfmake.setUrlAccessPolicy(() => false)
  pdfmake.setLocalAccessPolicy((path) => files.has(path))
}

const MARGIN = 45
/** Below this share of a page there is no room for a heading with the head and a row of a table. */
const FAR_DOWN = 0.87
const SMALL_PRINT = 8.5

function definitionOf(
  document: PaperDocument,
  pageSize: PaperSize,
  at: Date,
): TDocumentDefinitions {
  const { title, language, large, standing, sections } = document
  const size = large ? 18 : 10
  return {
    pageSize,
    pageMargins: [MARGIN, MARGIN, MARGIN, MARGIN + 10],
    info: { title, creationDate: at, modDate: at, creator: 'Footing', producer: 'pdfmake' },
    language,
    displayTitle: true,
    defaultStyle: { font: 'Roboto', fontSize: size, lineHeight: 1.2 },
    styles: {
      h1: { fontSize: large ? 26 : 18, bold: true },
      h2: { fontSize: large ? 22 : 13, bold: true, margin: [0, 12, 0, 4] },
      h3: { fontSize: large ? 18 : 11, bold: true, margin: [0, 6, 0, 3] },
      th: { bold: true },
      standing: { bold: true, margin: [0, 2, 0, 4] },
    },
    footer: (page, pages) => ({
      text: `${title} · ${standing.label} · ${page} / ${pages}`,
      alignment: 'center',
      fontSize: SMALL_PRINT,
      margin: [MARGIN, 16, MARGIN, 0],
    }),
    // A heading stays with what follows it: the first rows of a table begin on the next page by themselves.
    pageBreakBefore: ({ headlineLevel, startPosition }, { getFollowingNodesOnPage }) =>
      headlineLevel !== undefined &&
      (getFollowingNodesOnPage().length === 0 || startPosition.verticalRatio > FAR_DOWN),
    content: [
      { text: title, style: 'h1' },
      { text: standing.label, style: 'standing' },
      ...sections.flatMap((section) => sectionContent(section, document)),
    ],
  }
}

/** What is filled in by hand stays on one page, with its heading, and so does what is short. */
function sectionContent({ title, pieces }: Section, document: PaperDocument): Content[] {
  const heading = { text: title, style: 'h2' }
  const content = piecesContent(pieces, document)
  const isByHand = pieces.some(({ kind }) => kind === 'blanks')
  const isShort = pieces.length <= 3 && pieces.every(({ kind }) => kind === 'paragraph')
  // A break before a heading inside what is unbreakable loses it all.
  return isByHand || isShort
    ? [{ stack: [heading, ...content.map(withoutBreak)], unbreakable: true }]
    : [{ ...heading, headlineLevel: 2 }, ...content]
}

const withoutBreak = (content: Content): Content =>
  typeof content === 'object' && 'headlineLevel' in content
    ? { ...content, headlineLevel: undefined }
    : content

/** Two pictures that follow each other stand side by side. */
function piecesContent(pieces: readonly Piece[], document: PaperDocument): Content[] {
  const [first, second] = pieces
  if (first === undefined) return []
  if (first.kind !== 'picture' || second?.kind !== 'picture')
    return [pieceContent(first, document), ...piecesContent(pieces.slice(1), document)]
  const pair = [first, second].map((one) => pieceContent(one, document))
  return [{ columns: pair, columnGap: GAP }, ...piecesContent(pieces.slice(2), document)]
}

const GAP = 4
/** Half a page; letters are as large as the small print then. */
const PICTURE_WIDTH = 250

function pieceContent(piece: Piece, document: PaperDocument): Content {
  switch (piece.kind) {
    case 'paragraph':
      return { text: piece.text, margin: [0, 0, 0, GAP] }
    case 'heading':
      return { text: piece.text, style: 'h3', headlineLevel: 3 }
    case 'list':
      return { ul: [...piece.items], margin: [0, 0, 0, GAP] }
    case 'table':
      return tableContent(piece, document)
    case 'picture':
      return { svg: piece.picture.svg, width: PICTURE_WIDTH, margin: [0, GAP, 0, GAP] }
    case 'blanks':
      return blanksContent(piece.labels, document)
  }
}

function tableContent({ head, rows }: Table, { large }: PaperDocument): Content {
  const body = rows.map((cells) =>
    cells.map((text, index) => (index === 0 ? { text, style: 'th' } : { text })),
  )
  const heads = head.map((text) => ({ text, style: 'th', fillColor: '#e3e8ef' }))
  return {
    margin: [0, 2, 0, GAP * 2],
    layout: 'lightHorizontalLines',
    table: {
      headerRows: heads.length === 0 ? 0 : 1,
      keepWithHeaderRows: heads.length === 0 ? 0 : 1,
      dontBreakRows: true,
      widths: heads.length === 0 ? ['28%', '*'] : widthsOf([head, ...rows], large),
      body: heads.length === 0 ? body : [heads, ...body],
    },
  }
}

/** So many letters go into one line of a column beside others; in large print fewer. */
const LINE = { usual: 30, large: 24 } as const

/** What is short is as wide as it is, so that no word is divided; the rest of the page is for what is long. */
function widthsOf(rows: readonly (readonly string[])[], isLarge: boolean): ('auto' | '*')[] {
  const most = isLarge ? LINE.large : LINE.usual
  const columns = Math.max(...rows.map((cells) => cells.length))
  const isShort = Array.from({ length: columns }, (_, column) =>
    rows.every((cells) => (cells[column]?.length ?? 0) <= most),
  )
  return isShort.map((short, column) =>
    short && (column < columns - 1 || isShort.includes(false)) ? 'auto' : '*',
  )
}

function blanksContent(labels: readonly string[], { large }: PaperDocument): Content {
  const space = large ? 26 : 18
  return {
    margin: [0, GAP, 0, GAP],
    layout: {
      hLineWidth: () => 0,
      vLineWidth: () => 0,
      paddingTop: () => space,
      paddingBottom: () => 0,
    },
    table: {
      widths: ['34%', '*'],
      dontBreakRows: true,
      body: labels.map((label) => [
        { text: label },
        {
          canvas: [{ type: 'line', x1: 0, y1: large ? 18 : 11, x2: 320, y2: large ? 18 : 11 }],
        },
      ]),
    },
  }
}
