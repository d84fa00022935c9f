import { isStaticPicture } from './static-picture.ts'

/**
 * What a narrative may hold: chapters 7 to 11 (without 9.4) and 15 of HTML 4.0, `a`, `img` and
 * inline style (txt-1), without anything that runs, loads or leads elsewhere unseen.
 */

const words = (text: string): ReadonlySet<string> => new Set(text.trim().split(/\s+/))

export const ELEMENTS = words(`
  div span h1 h2 h3 h4 h5 h6 address bdo
  em strong dfn code samp kbd var cite abbr acronym blockquote q sub sup p br pre
  ul ol li dl dt dd
  table caption thead tfoot tbody colgroup col tr th td
  tt i b big small strike s u font center hr
  a img
`)

/** Attributes that any of the elements may have. */
const COMMON = words('id class style title lang xml:lang dir align xml:space')

const TABLE_CELL = words(`
  abbr axis headers scope rowspan colspan nowrap width height valign char charoff bgcolor
`)
const COLUMN = words('span width valign char charoff')
const ROW = words('valign char charoff bgcolor')

const BY_ELEMENT: Readonly<Record<string, ReadonlySet<string>>> = {
  a: words('href name hreflang rel type charset rev'),
  img: words('src alt height width border hspace vspace'),
  table: words('summary width border frame rules cellspacing cellpadding bgcolor'),
  td: TABLE_CELL,
  th: TABLE_CELL,
  tr: ROW,
  thead: ROW,
  tbody: ROW,
  tfoot: ROW,
  col: COLUMN,
  colgroup: COLUMN,
  blockquote: words('cite'),
  q: words('cite'),
  ol: words('type start compact'),
  ul: words('type compact'),
  dl: words('compact'),
  li: words('type value'),
  br: words('clear'),
  hr: words('noshade size width'),
  pre: words('width'),
  font: words('size color face'),
}

const URLS = words('href src cite')

export function attributeAllowed(element: string, attribute: string): boolean {
  if (COMMON.has(attribute)) return true
  return Object.hasOwn(BY_ELEMENT, element) && BY_ELEMENT[element]?.has(attribute) === true
}

/** Has the attribute's value no way to run something or to load what the reader does not see? */
export function valueAllowed(element: string, attribute: string, value: string): boolean {
  if (attribute === 'style') return styleAllowed(value)
  return URLS.has(attribute) ? urlAllowed(element, value) : true
}

/**
 * Schemes that a browser cannot run: http, https, mailto, a place in the same text, and the urn of
 * a resource in the same transaction. A relative URL has no scheme. Pictures may carry their data; a
 * drawing may, where it only shows something: opened by itself it could run what it holds.
 */
function urlAllowed(element: string, value: string): boolean {
  // Browsers drop white space and control characters before they look at the scheme.
  if (Array.from(value).some((char) => char <= ' ' || char === '\u007f' || char === '\\'))
    return false
  const scheme = /^[^/?#]*?:/.exec(value)?.[0].toLowerCase()
  if (scheme === undefined) return true
  if (['http:', 'https:', 'mailto:', 'urn:'].includes(scheme)) return true
  if (element !== 'img') return false
  if (/^data:image\/(?:png|jpeg|gif)[;,]/i.test(value)) return true
  return value.startsWith(SVG_DATA) && isStaticPicture(value.slice(SVG_DATA.length))
}

const SVG_DATA = 'data:image/svg+xml;base64,'

/** Functions a style may use; all others, url() first of all, may load or run something. */
const STYLE_FUNCTIONS = words('rgb rgba hsl hsla calc')

/** No honest style is longer, and what reads it takes time that grows with its square. */
const LONGEST_STYLE = 500

/** Escapes and comments can hide any of the words that are looked for, so neither is accepted. */
function styleAllowed(style: string): boolean {
  if (style.length > LONGEST_STYLE) return false
  if (/[\\@<]|\/\*|javascript|behaviou?r|binding|position/i.test(style)) return false
  const functions = style.replaceAll(/\s+/g, ' ').matchAll(/([\w-]{0,40}) ?\(/g)
  return [...functions].every(([, name = '']) => STYLE_FUNCTIONS.has(name.toLowerCase()))
}
