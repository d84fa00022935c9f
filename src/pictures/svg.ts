/** One element of a drawing. A number of a `data-` attribute is written as it is, all others to 1/100. */
export interface Mark {
  readonly name: string
  readonly attributes: Attributes
  readonly content: readonly (Mark | string)[]
}

export type Attributes = Readonly<Record<string, string | number | undefined>>

/** @param attributes those that are undefined are left out */
export const mark = (
  name: string,
  attributes: Attributes,
  content: readonly (Mark | string)[] = [],
): Mark => ({ name, attributes, content })

/** The text of an element and of all in it: well-formed XML, the same for the same marks. */
export function svgText({ name, attributes, content }: Mark): string {
  let text = `<${name}`
  for (const [key, value] of Object.entries(attributes))
    if (value !== undefined) text += ` ${key}="${attributeText(key, value)}"`
  if (content.length === 0) return `${text}/>`
  text += '>'
  for (const part of content) text += typeof part === 'string' ? escapeXml(part) : svgText(part)
  return `${text}</${name}>`
}

function attributeText(key: string, value: string | number): string {
  if (typeof value === 'string') return escapeXml(value)
  return String(key.startsWith('data-') ? value : Math.round(value * 100) / 100)
}

const ENTITIES: Readonly<Record<string, string>> = {
  '&': '&amp;',
  '<': '&lt;',
  '>': '&gt;',
  '"': '&quot;',
  "'": '&#39;',
}

/** XML has no place for control characters and lone surrogates, not even as references. */
// oxlint-disable-next-line no-control-regex -- they are what must not stand there
const NO_XML = /[\u0000-\u0008\u000b\u000c\u000e-\u001f\ufffe\uffff]|\p{Surrogate}/gu

/** Nearly every text is: in it there is nothing to replace. */
const PLAIN = /^[\t\n\r !#-%(-;=?-~\u00a0-\ud7ff]*$/

const escapeXml = (text: string): string => (PLAIN.test(text) ? text : escaped(text))

const escaped = (text: string): string =>
  text.replaceAll(NO_XML, '\ufffd').replaceAll(/[&<>"']/g, (char) => ENTITIES[char] ?? '')
