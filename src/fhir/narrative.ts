import { SaxesParser, type SaxesTagNS } from 'saxes'

import type { Complaint } from './inspection.ts'
import { isPlainNarrative } from './plain-narrative.ts'
import { attributeAllowed, ELEMENTS, valueAllowed } from './narrative-rules.ts'

const XHTML = 'http://www.w3.org/1999/xhtml'
const XML = 'http://www.w3.org/XML/1998/namespace'
const XMLNS = 'http://www.w3.org/2000/xmlns/'

const complaint = (rule: 'txt-1' | 'txt-2', text: string): Complaint => ({
  rule,
  code: 'invariant',
  text,
})

/**
 * What is wrong with the XHTML of a narrative: txt-1 (only harmless formatting) and txt-2 (it says
 * something). Nothing is removed from a client's text; it is accepted as it is or refused.
 */
export function narrativeComplaints(div: string): Complaint[] {
  if (isPlainNarrative(div)) return []
  const reading = new NarrativeReading()
  reading.read(div)
  return [...reading.complaints.values()]
}

class NarrativeReading {
  /** By text, so that a fault that repeats is reported once. */
  readonly complaints = new Map<string, Complaint>()
  private saysSomething = false

  read(div: string): void {
    if (!/^<div[\s/>]/.test(div)) return this.object('The narrative must start with <div')
    // Behind the element XML has comments too.
    if (div.trimEnd().endsWith('-->')) return this.object('The narrative must end with </div>')
    const parser = new SaxesParser({ xmlns: true })
    // Only the first error counts: what a broken text holds after it is anybody's guess.
    parser.on('error', () => {
      this.object('The narrative must be well-formed XML with the five XML entities only')
    })
    parser.on('opentag', (tag) => this.element(tag))
    parser.on('text', (text) => {
      if (/\S/.test(text)) this.saysSomething = true
    })
    // A browser that reads the text as HTML ends these elsewhere than an XML parser does.
    const refused = () => this.object('CDATA, doctypes and instructions are not accepted')
    parser.on('comment', (text) => {
      // `<!-->` ends a comment in HTML, and what stands after it would be markup.
      if (/[<>]/.test(text)) this.object('A comment must not have < or > in it')
    })
    parser.on('cdata', refused)
    parser.on('doctype', refused)
    parser.on('processinginstruction', refused)
    parser.write(div).close()
    if (this.complaints.size === 0 && !this.saysSomething)
      this.add(complaint('txt-2', 'The narrative must have some text or an image'))
  }

  private element(tag: SaxesTagNS): void {
    if (tag.uri !== XHTML || tag.prefix !== '')
      this.object(`Every element must be in the namespace ${XHTML}, without a prefix`)
    else if (!ELEMENTS.has(tag.name))
      this.object(`The elements that may be used are ${[...ELEMENTS].join(', ')}`)
    if (tag.name === 'img') this.saysSomething = true
    for (const attribute of Object.values(tag.attributes)) this.attribute(tag.name, attribute)
  }

  private attribute(
    element: string,
    { name, uri, value }: { name: string; uri: string; value: string },
  ): void {
    if (uri === XMLNS) {
      if (name !== 'xmlns' || value !== XHTML)
        this.object(`The only namespace that may be declared is ${XHTML}`)
    } else if ((uri !== '' && uri !== XML) || !attributeAllowed(element, name))
      this.object('Only formatting attributes are accepted: no events, forms or links to scripts')
    else if (!valueAllowed(element, name, value))
      this.object(
        name === 'style'
          ? 'A style must not load or position anything'
          : 'A link must be relative, http, https, mailto or #; a picture may be data of an image',
      )
  }

  private object(text: string): void {
    this.add(complaint('txt-1', text))
  }

  private add(found: Complaint): void {
    this.complaints.set(found.text, found)
  }
}

const ENTITIES: Readonly<Record<string, string>> = {
  '&': '&amp;',
  '<': '&lt;',
  '>': '&gt;',
  '"': '&quot;',
  "'": '&#39;',
}

const SPECIAL = /[&<>"'\p{Cc}\p{Cs}\ufffe\uffff]/gu

/** Any text as the content or attribute value of a narrative that we write ourselves. */
export const escapeXhtml = (text: string): string =>
  text.replace(SPECIAL, (char) => ENTITIES[char] ?? (isXmlCharacter(char) ? char : '\ufffd'))

/** XML has no place for control characters and lone surrogates, not even as references. */
function isXmlCharacter(char: string): boolean {
  const code = char.codePointAt(0) ?? 0
  if (code < 0x20) return code === 0x09 || code === 0x0a || code === 0x0d
  return !(code >= 0xd800 && code <= 0xdfff) && code !== 0xfffe && code !== 0xffff
}
