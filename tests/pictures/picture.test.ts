import { assert, constantFrom, property } from 'fast-check'
import { expect, test } from 'vitest'
import { LANGUAGES } from '../../src/domain/messages/catalogues.ts'
import { VOICES } from '../../src/domain/messages/message.ts'
import { drawPicture, PICTURE_KINDS } from '../../src/pictures/picture.ts'
import { anyPictureFacts } from '../helpers/any-picture.ts'
import { allOf, readSvg, textBoxes } from '../helpers/svg.ts'

const kind = constantFrom(...PICTURE_KINDS)
const language = constantFrom(...LANGUAGES)
const voice = constantFrom(...VOICES)

/** What a picture may be made of: nothing that runs, loads or leads elsewhere. */
const ELEMENTS = new Set([
  'svg',
  'title',
  'desc',
  'defs',
  'pattern',
  'g',
  'rect',
  'line',
  'path',
  'circle',
  'text',
])

test('every picture of any child is well-formed, static, 360 wide, and says what it shows', () => {
  assert(
    property(kind, anyPictureFacts, language, voice, (of, facts, spoken, to) => {
      const { svg, title, description } = drawPicture(of, facts, { language: spoken, voice: to })
      const root = readSvg(svg)
      const elements = allOf(root)

      expect(root.attributes).toMatchObject({ role: 'img', width: '360', lang: spoken })
      expect(root.attributes['viewBox']).toBe(`0 0 360 ${String(root.attributes['height'])}`)
      expect(root.attributes['aria-labelledby']).toBe(`${of}-title ${of}-description`)
      expect(elements.find(({ name }) => name === 'title')?.text).toBe(title)
      expect(elements.find(({ name }) => name === 'desc')?.text).toBe(description)
      expect(description).not.toMatch(/[{}]|undefined|NaN|Infinity/)
      for (const { name, attributes } of elements) {
        expect(ELEMENTS).toContain(name)
        for (const [key, value] of Object.entries(attributes)) {
          expect(key).not.toMatch(/^on|href|style/)
          if (key !== 'xmlns') expect(value).not.toMatch(/:\/\/|NaN|undefined|Infinity/)
        }
        if (name === 'text') expect(Number(attributes['font-size'])).toBeGreaterThanOrEqual(11)
      }
    }),
    { numRuns: 60 },
  )
})

test('the same facts give the same picture', () => {
  assert(
    property(kind, anyPictureFacts, language, (of, facts, spoken) => {
      const again = structuredClone(facts)

      expect(drawPicture(of, again, { language: spoken }).svg).toBe(
        drawPicture(of, facts, { language: spoken }).svg,
      )
    }),
    { numRuns: 30 },
  )
})

test('pictures of several kinds share no id, so they may stand in one page', () => {
  assert(
    property(anyPictureFacts, (facts) => {
      const ids = PICTURE_KINDS.flatMap((of) =>
        allOf(readSvg(drawPicture(of, facts, { language: 'en' }).svg)).flatMap(
          ({ attributes }) => attributes['id'] ?? [],
        ),
      )

      expect(new Set(ids).size).toBe(ids.length)
    }),
    { numRuns: 10 },
  )
})

test('no line of text is cut off or lies upon another, by the widest of the usual fonts', () => {
  assert(
    property(kind, anyPictureFacts, language, voice, (of, facts, spoken, to) => {
      const { svg } = drawPicture(of, facts, { language: spoken, voice: to })
      const height = Number(readSvg(svg).attributes['height'])
      const boxes = textBoxes(svg)
      const faults = boxes.flatMap((box, index) => [
        ...(box.left < 0 || box.right > 360 || box.top < 0 || box.bottom > height
          ? [`${box.text} is cut off`]
          : []),
        ...boxes
          .slice(index + 1)
          .filter(
            (other) =>
              box.left < other.right &&
              other.left < box.right &&
              box.top < other.bottom &&
              other.top < box.bottom,
          )
          .map((other) => `${box.text} lies upon ${other.text}`),
      ])

      expect(faults).toEqual([])
    }),
    { numRuns: 150 },
  )
})
