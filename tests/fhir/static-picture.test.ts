import { expect, test } from 'vitest'
import { isStaticPicture } from '../../src/fhir/static-picture.ts'
import { drawPicture, PICTURE_KINDS } from '../../src/pictures/picture.ts'
import { factsOf } from '../helpers/any-picture.ts'
import { seedChildren } from '../helpers/seed-children.ts'

const base64 = (svg: string) => Buffer.from(svg).toString('base64')
const svg = (inside: string, on = '') =>
  base64(`<svg xmlns="http://www.w3.org/2000/svg"${on}>${inside}</svg>`)

test.each(PICTURE_KINDS)('the picture %s of every invented child is static', (kind) => {
  for (const { child, asOf } of seedChildren()) {
    const facts = factsOf(child, asOf)
    if (facts === undefined) throw new Error('the seed cannot be true')
    for (const language of ['en', 'es'] as const)
      expect(isStaticPicture(base64(drawPicture(kind, facts, { language }).svg))).toBe(true)
  }
})

test('shapes and text that refer to their own parts alone are static', () => {
  expect(isStaticPicture(svg('<rect x="1" y="1" width="2" height="2" fill="url(#hatch)"/>'))).toBe(
    true,
  )
})

test.each([
  ['a script', svg('<script>alert(1)</script>')],
  ['an event', svg('<rect onclick="alert(1)"/>')],
  ['an event of the root', svg('', ' onload="alert(1)"')],
  ['a link', svg('<a href="https://elsewhere.example"><text>x</text></a>')],
  ['a picture from elsewhere', svg('<image href="https://elsewhere.example/a.png"/>')],
  [
    'other markup',
    svg('<foreignObject><div xmlns="http://www.w3.org/1999/xhtml"/></foreignObject>'),
  ],
  ['an animation', svg('<rect><set attributeName="x" to="1"/></rect>')],
  ['a style sheet', svg('<style>@import "https://elsewhere.example"</style>')],
  ['a style', svg('<rect style="fill:red"/>')],
  ['a paint from elsewhere', svg('<rect fill="url(https://elsewhere.example#a)"/>')],
  ['an escape', svg('<rect fill="u\\72l(#a)"/>')],
  ['a linked name', svg('<text xmlns:xlink="http://www.w3.org/1999/xlink" xlink:href="#a"/>')],
  ['an element without its namespace', base64('<svg><rect/></svg>')],
  ['an HTML script inside', svg('<script xmlns="http://www.w3.org/1999/xhtml"/>')],
  [
    'a doctype',
    base64('<!DOCTYPE svg [<!ENTITY a "b">]><svg xmlns="http://www.w3.org/2000/svg"/>'),
  ],
  ['an instruction', svg('<?xml-stylesheet href="a.css"?>')],
  ['a comment', svg('<!-- x -->')],
  ['no XML', base64('<svg')],
  ['no base64', '<svg xmlns="http://www.w3.org/2000/svg"/>'],
  ['nothing', ''],
])('with %s it is not', (_name, data) => {
  expect(isStaticPicture(data)).toBe(false)
})

test('one that is too long to be read at every check is not', () => {
  const long = svg(`<text>${'a'.repeat(160_000)}</text>`)

  expect(isStaticPicture(long)).toBe(false)
})
