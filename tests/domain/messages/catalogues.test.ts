import { readdirSync, readFileSync } from 'node:fs'
import { type MessageFormatElement, parse, TYPE } from '@formatjs/icu-messageformat-parser'
import { expect, test } from 'vitest'
import { CATALOGUES, type Entry, LANGUAGES } from '../../../src/domain/messages/catalogues.ts'
import { VOICES } from '../../../src/domain/messages/message.ts'

const FOLDER = new URL('../../../src/domain/messages/', import.meta.url)
const PARTS = readdirSync(new URL('en', FOLDER))
type Part = Readonly<Record<string, Entry>>
const part = (language: string, file: string): Part =>
  JSON.parse(readFileSync(new URL(`${language}/${file}`, FOLDER), 'utf8')) as Part

const textOf = (entry: Entry | undefined, voice: (typeof VOICES)[number]): string =>
  typeof entry === 'object' ? entry[voice] : (entry ?? '')

/** Names in braces, with their kinds, of all branches. */
function placeholders(elements: readonly MessageFormatElement[]): string[] {
  return elements.flatMap((element) => {
    if (element.type === TYPE.literal || element.type === TYPE.pound) return []
    if (element.type === TYPE.select || element.type === TYPE.plural)
      return [
        `${element.value} ${TYPE[element.type]}`,
        ...Object.values(element.options).flatMap((option) => placeholders(option.value)),
      ]
    return [`${element.value} ${TYPE[element.type]}`]
  })
}
const read = (text: string) => parse(text, { ignoreTag: true })
const namesOf = (text: string) => [
  ...new Set(placeholders(read(text)).map((found) => found.split(' ')[0])),
]

test.each(LANGUAGES)('%s has every part and every message of English, and no other', (language) => {
  expect(readdirSync(new URL(language, FOLDER))).toEqual(PARTS)
  for (const file of PARTS)
    expect(Object.keys(part(language, file)), file).toEqual(Object.keys(part('en', file)))
})

test('no message stands in two parts', () => {
  const keys = PARTS.flatMap((file) => Object.keys(part('en', file)))

  expect(keys).toHaveLength(new Set(keys).size)
  expect(new Set(Object.keys(CATALOGUES.en))).toEqual(new Set(keys))
})

test.each(LANGUAGES)(
  '%s is valid ICU message format in both voices, and never empty',
  (language) => {
    for (const [key, entry] of Object.entries(CATALOGUES[language]))
      for (const voice of VOICES) {
        expect(() => read(textOf(entry, voice)), key).not.toThrow()
        expect(textOf(entry, voice).trim(), key).not.toBe('')
      }
  },
)

test('a translation uses no value that the English message does not have', () => {
  for (const language of LANGUAGES)
    for (const [key, entry] of Object.entries(CATALOGUES[language])) {
      const english = Object.entries(CATALOGUES.en).find(([name]) => name === key)?.[1]
      const names = VOICES.flatMap((voice) => namesOf(textOf(english, voice)))
      for (const voice of VOICES)
        for (const name of namesOf(textOf(entry, voice)))
          expect(names, `${language} ${key} {${String(name)}}`).toContain(name)
    }
})

test('the therapist is told in every language what is told in English', () => {
  for (const language of LANGUAGES)
    for (const [key, entry] of Object.entries(CATALOGUES[language])) {
      const english = Object.entries(CATALOGUES.en).find(([name]) => name === key)?.[1]

      expect(new Set(namesOf(textOf(entry, 'therapist'))), key).toEqual(
        new Set(namesOf(textOf(english, 'therapist'))),
      )
    }
})

test('a sentence has a voice for each reader, a capital letter and an end; only terms are shared', () => {
  for (const language of LANGUAGES)
    for (const file of PARTS.filter((name) => name !== 'terms.json'))
      for (const [key, entry] of Object.entries(part(language, file))) {
        expect(entry, `${language} ${key}`).toBeTypeOf('object')
        if (key.startsWith('part.')) continue
        for (const voice of VOICES)
          expect(textOf(entry, voice), `${language} ${key}`).toMatch(/^[\p{Lu}{¿¡\d].*[.?!}]$/su)
      }
})

/** Whether anything but values and units stands in it. */
const hasWords = (text: string): boolean =>
  /\p{L}{3}/u.test(text.replaceAll(/\{\w+(, number[^}]*)?\}/g, ''))

test('no sentence was left in English', () => {
  const left = PARTS.filter((name) => name !== 'terms.json').flatMap((file) =>
    Object.entries(part('es', file)).flatMap(([key, entry]) =>
      VOICES.flatMap((voice) => {
        const english = textOf(part('en', file)[key], voice)
        return hasWords(english) && textOf(entry, voice) === english ? [`${key} ${voice}`] : []
      }),
    ),
  )

  expect(left).toEqual([])
})

test('every message is used', () => {
  const folder = new URL('../../../src/', import.meta.url)
  const source = readdirSync(folder, { recursive: true, encoding: 'utf8' })
    .filter((name) => name.endsWith('.ts') && !name.includes('fhir/r4/'))
    .map((name) => readFileSync(new URL(name, folder), 'utf8'))
    .join('\n')
  const unused = Object.keys(CATALOGUES.en).filter((key) => {
    const [start = ''] = key.split('.')
    return !source.includes(`'${key}'`) && !source.includes(`\`${start}.\${`)
  })

  expect(unused).toEqual([])
})
