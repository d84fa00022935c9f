import { SaxesParser } from 'saxes'

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
