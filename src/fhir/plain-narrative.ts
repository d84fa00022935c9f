import { attributeAllowed, ELEMENTS, valueAllowed } from './narrative-rules.ts'

const ROOT = '<div xmlns="http://www.w3.org/1999/xhtml">'

/** Text and attributes in double quotes without what XML forbids; one of the five entities. */
const TOKEN =
  // oxlint-disable-next-line no-control-regex -- they are what must not stand there
  /([^<>&\u0000-\u0008\u000b\u000c\u000e-\u001f\ud800-\udfff\ufffe\uffff]+)|<(\/?)([a-z][a-z0-9]*)((?: [a-z:]+="[^"<&\u0000-\u0008\u000b\u000c\u000e-\u001f\ud800-\udfff\ufffe\uffff]*")*) ?(\/?)>|&(?:amp|lt|gt|quot|apos);/y
const ATTRIBUTE = / ([a-z:]+)="([^"]*)"/g

/**
 * Is a narrative certainly in order? Nearly all are written simply, and for those this says so in a fraction
 * of the time that an XML parser takes. Of anything else it says nothing: the parser must look.
 */
export function isPlainNarrative(div: string): boolean {
  if (!div.startsWith(ROOT)) return false
  const open = ['div']
  let saysSomething = false
  TOKEN.lastIndex = ROOT.length
  while (open.length > 0) {
    const token = TOKEN.exec(div)
    if (token === null) return false
    const [, text, closes, name = '', attributes = '', empty] = token
    if (text !== undefined) saysSomething ||= /\S/.test(text)
    else if (name === '') saysSomething = true
    else if (closes === '/') {
      if (attributes !== '' || empty === '/' || open.pop() !== name) return false
    } else {
      if (!ELEMENTS.has(name) || !attributesAllowed(name, attributes)) return false
      saysSomething ||= name === 'img'
      if (empty !== '/') open.push(name)
    }
  }
  return saysSomething && TOKEN.lastIndex === div.length
}

function attributesAllowed(element: string, attributes: string): boolean {
  if (attributes === '') return true
  const seen = new Set<string>()
  for (const [, name = '', value = ''] of attributes.matchAll(ATTRIBUTE)) {
    if (seen.has(name) || !attributeAllowed(element, name)) return false
    if (!valueAllowed(element, name, value)) return false
    seen.add(name)
  }
  return true
}
