import * as fc from 'fast-check'
import { SaxesParser } from 'saxes'
import { expect, test } from 'vitest'
import { isPlainNarrative } from '../../src/fhir/plain-narrative.ts'

const div = (content: string) => `<div xmlns="http://www.w3.org/1999/xhtml">${content}</div>`

/** What an XML parser says, which this is a short way around. */
function isWellFormed(text: string): boolean {
  let well = true
  const parser = new SaxesParser({ xmlns: true })
  parser.on('error', () => {
    well = false
  })
  parser.write(text).close()
  return well
}

const PIECES = [
  '<p>',
  '</p>',
  '<b>',
  '</b>',
  '<br/>',
  '<img src="Binary/1"/>',
  '<img src="Binary/1">',
  '</div>',
  '<div>',
  'text',
  ' ',
  '&amp;',
  '&lt;',
  '&',
  '<',
  '>',
  '"',
  ']]>',
  '<p class="a">',
  '<p class="a" class="b">',
  "<p class='a'>",
  '<p onclick="a()">',
  '<a href="javascript:a()">',
  '<a href="#x">',
  '</a>',
  '<script>',
  '<!-- a -->',
  '\u0000',
  '<p title="\u0001">',
  '<p title="\ud800">',
  '\ud800',
  '\u{1f476}',
]

test('what is said to be in order is well-formed XML of one element, from whatever pieces', () => {
  fc.assert(
    fc.property(fc.array(fc.constantFrom(...PIECES), { maxLength: 12 }), (pieces) => {
      const text = div(pieces.join(''))
      expect(!isPlainNarrative(text) || isWellFormed(text)).toBe(true)
      expect(isPlainNarrative(text) && /onclick|javascript|script>|<!--/.test(text)).toBe(false)
    }),
    { numRuns: 5_000 },
  )
})

test('simple texts are in order', () => {
  expect(isPlainNarrative(div('<p class="a">One &amp; two</p><br/><ul><li>x</li></ul>'))).toBe(true)
  expect(isPlainNarrative(div('<img src="Binary/1"/>'))).toBe(true)
})

test('of all else nothing is said', () => {
  for (const text of [
    '',
    div(''),
    div(' <br/> '),
    div('<p>a'),
    `${div('a')} `,
    '<div>a</div>',
    div('&#39;'),
  ])
    expect(isPlainNarrative(text)).toBe(false)
})
