import { SaxesParser } from 'saxes'

/** More than any drawing of ours, and little enough to read at every check. */
const LONGEST_BASE64 = 200_000

const SVG = 'http://www.w3.org/2000/svg'
const words = (text: string): ReadonlySet<string> => new Set(text.trim().split(/\s+/))

/** Shapes and text. Nothing that runs, loads, leads elsewhere, moves or carries other markup. */
const ELEMENTS = words('svg title desc defs pattern g rect line path circle text')

/** What places and paints a shape, and what says something about it. */
const ATTRIBUTES = words(`
  xmlns viewBox width height role lang id class transform x y x1 y1 x2 y2 cx cy r d dy
  patternUnits fill stroke stroke-width stroke-dasharray text-anchor
  font-family font-size font-weight
`)

/**
 * Is this, in base64, an SVG that only shows something, wherever it is opened? By allow-list: a picture of
 * shapes and text, which refers to nothing but its own parts.
 */
export function isStaticPicture(base64: string): boolean {
  if (base64.length > LONGEST_BASE64 || !/^[A-Za-z0-9+/]+={0,2}$/.test(base64)) return false
  let isStatic = true
  const refuse = () => {
    isStatic = false
  }
  const parser = new SaxesParser({ xmlns: true })
  for (const unwanted of ['error', 'comment', 'cdata', 'doctype', 'processinginstruction'] as const)
    parser.on(unwanted, refuse)
  parser.on('opentag', ({ name, uri, attributes }) => {
    if (uri !== SVG || !ELEMENTS.has(name)) refuse()
    for (const attribute of Object.values(attributes))
      if (!isHarmless(attribute.name, attribute.value)) refuse()
  })
  parser.write(Buffer.from(base64, 'base64').toString('utf8')).close()
  return isStatic
}

function isHarmless(name: string, value: string): boolean {
  if (name === 'xmlns') return value === SVG
  if (!ATTRIBUTES.has(name) && !/^(?:data|aria)-[a-z0-9-]+$/.test(name)) return false
  return !/url\(|\\|:/i.test(value) || /^url\(#[a-z-]+\)$/.test(value) || name.startsWith('data-')
}
