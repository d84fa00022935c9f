import { INK, MUTED, PAPER } from './ink.ts'
import { mark, type Mark, svgText } from './svg.ts'
import { FONT, label, LARGE, linesOf, NORMAL, SMALL, textWidth } from './text.ts'
import type { Words } from './words.ts'

export const WIDTH = 360
export const MARGIN = 12
/** Between the margins. */
export const ROOM = WIDTH - 2 * MARGIN

/** Marks that stand below one another; each is drawn from its own top. */
export interface Block {
  readonly height: number
  readonly marks: readonly Mark[]
}

export interface Sheet {
  /** Names the picture inside a page, before the ids of what it refers to. */
  readonly kind: string
  readonly title: string
  /** The whole content in words. */
  readonly description: string
  readonly definitions?: readonly Mark[]
  readonly blocks: readonly Block[]
}

/** A picture as one SVG text: 360 units wide and as high as its blocks. */
export function sheetText({ kind, title, description, ...sheet }: Sheet, words: Words): string {
  const all = stacked([paragraph(title, { size: LARGE, weight: 'bold' }), ...sheet.blocks], MARGIN)
  const height = Math.ceil(all.height + MARGIN)
  const definitions = sheet.definitions ?? []
  const root = mark(
    'svg',
    {
      xmlns: 'http://www.w3.org/2000/svg',
      viewBox: `0 0 ${WIDTH} ${height}`,
      width: WIDTH,
      height,
      role: 'img',
      ...FONT,
      'aria-labelledby': `${kind}-title ${kind}-description`,
      lang: words.language,
      'data-picture': kind,
    },
    [
      mark('title', { id: `${kind}-title` }, [title]),
      mark('desc', { id: `${kind}-description` }, [description]),
      ...(definitions.length === 0 ? [] : [mark('defs', {}, definitions)]),
      mark('rect', { width: WIDTH, height, fill: PAPER }),
      ...all.marks,
    ],
  )
  return svgText(root)
}

/** Blocks below one another as one, from a top. */
export function stacked(blocks: readonly Block[], from = 0): Block {
  let top = from
  const marks = blocks.map((block) => {
    const group = mark('g', { transform: `translate(0 ${rounded(top)})` }, block.marks)
    top += block.height
    return group
  })
  return { height: top, marks }
}

const rounded = (value: number): number => Math.round(value * 100) / 100

const LEADING = 1.3

interface Style {
  readonly size?: number
  readonly weight?: 'bold'
  readonly fill?: string
}

/** A text over the whole width, in as many lines as it needs. */
export function paragraph(text: string, { size = SMALL, weight, fill = INK }: Style = {}): Block {
  const lines = linesOf(text, size, ROOM, weight)
  const step = size * LEADING
  return {
    height: lines.length * step + size / 2,
    marks: lines.map((line, index) =>
      label(
        line,
        { x: MARGIN, y: size + index * step },
        { 'font-size': size, 'font-weight': weight, fill },
      ),
    ),
  }
}

export const heading = (text: string): Block => {
  const { height, marks } = paragraph(text, { size: NORMAL, weight: 'bold' })
  return { height: height + 2, marks: [mark('g', { transform: 'translate(0 4)' }, marks)] }
}

/** A name at the left and its value at the right: on one line where both have room, else on two. */
export function nameAndValue(name: string, value: string, style: NameStyle = {}): Block {
  const { size = SMALL, weight, muted } = style
  const width = textWidth(name, size, weight) + textWidth(value, size, weight) + GAP
  const second = width <= ROOM ? 0 : size * LEADING
  const of = { 'font-size': size, 'font-weight': weight }
  const fill = muted === true ? MUTED : INK
  return {
    height: size + second + 4,
    marks: [
      label(name, { x: MARGIN, y: size }, of),
      label(value, { x: WIDTH - MARGIN, y: size + second }, { ...of, fill, 'text-anchor': 'end' }),
    ],
  }
}

const GAP = 8

interface NameStyle {
  readonly size?: number
  readonly weight?: 'bold' | undefined
  /** The value says less than the name. */
  readonly muted?: boolean
}
