import { SaxesParser } from 'saxes'
import { textWidth } from '../../src/pictures/text.ts'

/** An element of a picture, as an XML parser reads it. */
export interface SvgElement {
  readonly name: string
  readonly attributes: Readonly<Record<string, string>>
  readonly children: SvgElement[]
  /** Of itself, not of what is in it. */
  text: string
}

/** Throws for what is not well-formed. */
export function readSvg(svg: string): SvgElement {
  const root: SvgElement = { name: '', attributes: {}, children: [], text: '' }
  const open = [root]
  const parser = new SaxesParser({ xmlns: true })
  parser.on('error', (error) => {
    throw error
  })
  parser.on('opentag', ({ name, attributes }) => {
    const values = Object.entries(attributes).map(([key, { value }]) => [key, value] as const)
    const element = { name, attributes: Object.fromEntries(values), children: [], text: '' }
    open.at(-1)?.children.push(element)
    open.push(element)
  })
  parser.on('text', (text) => {
    const element = open.at(-1)
    if (element !== undefined) element.text += text
  })
  parser.on('closetag', () => open.pop())
  parser.write(svg).close()
  const [svgElement] = root.children
  if (svgElement?.name !== 'svg') throw new Error('no svg')
  return svgElement
}

/** The element and all in it. */
export const allOf = (element: SvgElement): SvgElement[] => [
  element,
  ...element.children.flatMap(allOf),
]

/** All elements that have a `data-` attribute. */
export const withData = (svg: string, name: string): SvgElement[] =>
  allOf(readSvg(svg)).filter(({ attributes }) => `data-${name}` in attributes)

/** A number of a `data-` attribute; NaN where there is none. */
export const numberOf = ({ attributes }: SvgElement, name: string): number =>
  Number(attributes[`data-${name}`])

/** Every line of text that is drawn. */
export const textsOf = (svg: string): string[] =>
  allOf(readSvg(svg)).flatMap(({ name, text }) => (name === 'text' ? [text] : []))

/** Where a line of text stands, by the widest of the usual fonts. */
export interface TextBox {
  readonly text: string
  readonly left: number
  readonly right: number
  readonly top: number
  readonly bottom: number
}

/** Every line of text, its height without the room above capitals and below the line. */
export function textBoxes(svg: string): TextBox[] {
  const boxes: TextBox[] = []
  const walk = ({ name, attributes, children, text }: SvgElement, down: number): void => {
    const own = /^translate\(0 ([\d.]+)\)$/.exec(attributes['transform'] ?? '')?.[1]
    const at = down + Number(own ?? 0)
    if (name === 'text') {
      const [size, x, y] = ['font-size', 'x', 'y'].map((key) => Number(attributes[key])) as [
        number,
        number,
        number,
      ]
      const bold = attributes['font-weight'] === 'bold' ? 'bold' : undefined
      const width = textWidth(text, size, bold)
      const before = { start: 0, middle: width / 2, end: width }[
        attributes['text-anchor'] ?? 'start'
      ]
      const left = x - (before ?? 0)
      const base = at + y + Number(attributes['dy'] ?? 0)
      boxes.push({ text, left, right: left + width, top: base - 0.72 * size, bottom: base })
    }
    for (const child of children) walk(child, at)
  }
  walk(readSvg(svg), 0)
  return boxes
}
