import { readFileSync } from 'node:fs'
import { getDocument } from 'pdfjs-dist/legacy/build/pdf.mjs'
import { syllable } from 'syllable'
import { describe, expect, test } from 'vitest'
import type { PaperDocument, Piece, Section } from '../../src/documents/document.ts'
import { paperDocument } from '../../src/documents/paper.ts'
import { documentPdf } from '../../src/documents/pdf.ts'
import { CATALOGUES, type Language } from '../../src/domain/messages/catalogues.ts'
import { DOCUMENT_KINDS, type DocumentKind } from '../../src/fhir/document-codes.ts'
import type { Resource } from '../../src/fhir/r4/types.ts'
import { textsOf } from '../helpers/paper-texts.ts'
import { seedPapers } from '../helpers/papers.ts'

// Every paper of the six invented children, in every language.

const LANGUAGES = Object.keys(CATALOGUES) as Language[]
const CHILDREN = seedPapers()

interface Made {
  readonly name: string
  readonly document: PaperDocument
}

/** A child for whom no device is proposed has no order, no statement and no packet. */
const made = (kind: DocumentKind, language: Language): Made[] =>
  CHILDREN.flatMap(({ name, facts }) =>
    ['reply', 'family-sheet'].includes(kind) || facts.plan !== undefined
      ? [{ name, document: paperDocument(facts, { kind, language }) }]
      : [],
  )

const ALL = DOCUMENT_KINDS.flatMap((kind) => LANGUAGES.flatMap((language) => made(kind, language)))

const piecesOf = ({ sections }: PaperDocument) => sections.flatMap(({ pieces }) => pieces)
const allText = (document: PaperDocument): string =>
  [
    document.title,
    ...document.sections.flatMap(({ title, pieces }) => [title, ...pieces.flatMap(textsOf)]),
  ].join('\n')

test('there are papers of each kind, in each language', () => {
  for (const kind of DOCUMENT_KINDS)
    for (const language of LANGUAGES)
      expect(made(kind, language).length, `${kind} ${language}`).toBeGreaterThan(1)
})

// 42 CFR 410.38(d)(1)(i)-(vi): the elements of a standard written order, in the words of the regulation.
const STANDARD_WRITTEN_ORDER = [
  /beneficiary name or number/i,
  /order date/i,
  /general description of the item/i,
  /quantity/i,
  /treating practitioner name or NPI/i,
  /treating practitioner signature/i,
]

test('an order names every element of a standard written order, and lists what is not there', () => {
  for (const { name, document } of made('order', 'en')) {
    const rows = piecesOf(document).flatMap((piece) => (piece.kind === 'table' ? piece.rows : []))
    for (const element of STANDARD_WRITTEN_ORDER) {
      const row = rows.find(([label = '']) => element.test(label))
      expect(row, `${name} ${element}`).toBeDefined()
      if (row?.[1] !== 'missing') continue
      const lists = piecesOf(document).flatMap((piece) =>
        piece.kind === 'list' ? piece.items : [],
      )
      expect(
        lists.some((item) => element.test(item)),
        `${name} ${element}`,
      ).toBe(true)
    }
  }
})

test('whoever signs signs by hand: a place for it, and nobody in it', () => {
  for (const { name, document } of ALL) {
    expect(document.standing.isSigned).toBe(false)
    const hand = document.sections.filter(({ pieces }) =>
      pieces.some(({ kind }) => kind === 'blanks'),
    )
    expect(hand.length, name).toBeGreaterThan(0)
    const people = CHILDREN.flatMap(({ facts }) => facts.record.child.name ?? [])
    for (const { pieces } of hand)
      for (const text of pieces.flatMap(textsOf))
        expect(
          people.some((person) => text.includes(person)),
          text,
        ).toBe(false)
  }
})

// Judgement: what a statement of facts never says.
const PROMISES = {
  en: /\b(guarantee[sd]?|promise[sd]?|cure[sd]?|will (?:walk|improve|correct|normali[sz]e))\b/i,
  es: /\b(garantiza\w*|promete\w*|cura(?:rá)?|caminará|mejorará|corregirá)\b/i,
} satisfies Record<Language, RegExp>

test('no paper promises anything', () => {
  for (const { name, document } of ALL)
    expect(allText(document).match(PROMISES[document.language])?.[0], name).toBeUndefined()
})

describe('the sheet for the family is easy to read', () => {
  const wordsIn = (text: string): string[] => text.match(/[\p{L}’']+/gu) ?? []
  /** Whole sentences: what a parent reads in one go, without the tables of days and hours. */
  const prose = (document: PaperDocument): string[] =>
    piecesOf(document)
      .flatMap((piece) =>
        piece.kind === 'paragraph' || piece.kind === 'list' ? textsOf(piece) : [],
      )
      .flatMap((text) => text.split(/(?<=[.!?:;])\s+/))
      .filter((sentence) => wordsIn(sentence).length > 2)
  const measured = (document: PaperDocument, syllablesOf: (word: string) => number) => {
    const sentences = prose(document)
    const words = sentences.flatMap(wordsIn)
    const syllables = words.reduce((sum, word) => sum + syllablesOf(word), 0)
    return { perSentence: words.length / sentences.length, perWord: syllables / words.length }
  }

  // Flesch-Kincaid grade (Kincaid et al. 1975). Limit: sixth grade, as the AMA advises for health texts
  // (Weiss, Health literacy and patient safety, 2007); both from memory.
  test('in English: sixth grade at most', () => {
    for (const { name, document } of made('family-sheet', 'en')) {
      const { perSentence, perWord } = measured(document, syllable)
      expect(0.39 * perSentence + 11.8 * perWord - 15.59, name).toBeLessThanOrEqual(6)
    }
  })

  // Szigriszt-Pazos (1993), graded by the INFLESZ scale (Barrio-Cantalejo et al. 2008): from 65 on "quite easy";
  // from memory. A syllable is a group of vowels; a stressed i or u parts from its neighbour.
  test('in Spanish: quite easy at least', () => {
    const syllables = (word: string): number =>
      Math.max(1, word.toLowerCase().match(/[íú]|[aeoáéó]|[iuü]+(?![aeoáéó])/g)?.length ?? 0)
    for (const { name, document } of made('family-sheet', 'es')) {
      const { perSentence, perWord } = measured(document, syllables)
      expect(206.835 - 62.3 * perWord - perSentence, name).toBeGreaterThanOrEqual(65)
    }
  })
})

describe('as PDF', () => {
  const parsed = async (document: PaperDocument) => {
    const data = new Uint8Array(await documentPdf(document, 'A4', new Date('2026-03-02T09:00:00Z')))
    const pdf = await getDocument({ data, useSystemFonts: false }).promise
    const texts: string[] = []
    for (let page = 1; page <= pdf.numPages; page += 1) {
      const { items } = await (await pdf.getPage(page)).getTextContent()
      for (const item of items) if ('str' in item) texts.push(item.str)
    }
    const { info } = await pdf.getMetadata()
    return { letters: texts.join('').replaceAll(/\s/g, ''), info, pages: pdf.numPages }
  }

  test.each(
    DOCUMENT_KINDS.flatMap((kind) =>
      LANGUAGES.flatMap((language) => made(kind, language).slice(0, 1)),
    ),
  )(
    '$document.kind in $document.language says every word that the document says',
    async ({ document }) => {
      const { letters, info, pages } = await parsed(document)
      const lost = allText(document)
        .split(/\s+/)
        .filter((word) => !letters.includes(word))

      expect(lost).toEqual([])
      expect(pages).toBeLessThan(20)
      expect(info).toMatchObject({ Title: document.title })
    },
  )

  test('nothing is lost wherever a page happens to end', { timeout: 60_000 }, async () => {
    const first = made('reply', 'en')[0]?.document
    if (first === undefined) throw new Error('There is a reply')
    for (let lines = 20; lines < 60; lines += 1) {
      const pieces = Array.from(
        { length: lines },
        (_, n): Piece => ({
          kind: 'paragraph',
          text: `line${n}`,
        }),
      )
      const sections: Section[] = [
        { id: 'findings', title: 'Before', pieces },
        { id: 'contact', title: 'ByHand', pieces: [{ kind: 'blanks', labels: ['Signature'] }] },
        { id: 'about', title: 'Closing', pieces: [{ kind: 'paragraph', text: 'lastWord' }] },
      ]
      const { letters } = await parsed({ ...first, sections })

      for (const word of [
        'line0',
        `line${lines - 1}`,
        'ByHand',
        'Signature',
        'Closing',
        'lastWord',
      ])
        expect(letters, `${lines} lines`).toContain(word)
    }
  })
})

test('the minutes of redness are those of published leaflets', () => {
  const rules: unknown = JSON.parse(
    readFileSync(
      new URL('../../src/domain/rules/footing-default-2026.1.json', import.meta.url),
      'utf8',
    ),
  )
  // Royal National Orthopaedic Hospital: call when redness stays for 20 minutes; NHS Fife, Mersey Care, North
  // Bristol: take off and call at 20-30 minutes. All of them of ankle-foot orthoses, none of supramalleolar ones.
  expect(rules).toMatchObject({
    fitting: { rednessTellMinutes: { value: 20 }, rednessStopMinutes: { value: 30 } },
  })
  for (const { document } of made('family-sheet', 'en').filter(({ document: { sections } }) =>
    sections.some(({ id }) => id === 'stop'),
  ))
    expect(allText(document)).toMatch(/20 minutes[^]*30 minutes|30 minutes[^]*20 minutes/)
})

// 45 CFR 164.316(b)(2)(i): six years from creation or from when it was last in effect, whichever is later.
test('the packet says how long each consent is kept, also one that has ended', () => {
  const consent = (status: 'active' | 'inactive', dateTime: string, end?: string): Resource => ({
    resourceType: 'Consent',
    status,
    scope: {},
    category: [{}],
    dateTime,
    ...(end === undefined ? {} : { provision: { period: { end } } }),
  })
  const papers = seedPapers(() => [
    consent('inactive', '2024-01-10', '2026-02-28'),
    consent('active', '2026-03-01'),
  ])
  const planned = papers.find(({ facts: { plan } }) => plan !== undefined)
  if (planned === undefined) throw new Error('no child with a plan')
  const packet = (language: Language) =>
    allText(paperDocument(planned.facts, { kind: 'authorisation-packet', language }))

  expect(packet('en')).toMatch(/Consent of January 10, 2024\. .*6 years.*February 28, 2032\./)
  expect(packet('en')).toMatch(/Consent of March 1, 2026\. .*last day in effect is not on record/)
  expect(packet('es')).toMatch(/Consentimiento del 10 de enero de 2024\. .*28 de febrero de 2032/)
})

test('the sheet of a child for whom nothing is proposed says that play goes on', () => {
  const said = { en: /barefoot too/, es: /descalzo/ } satisfies Record<Language, RegExp>
  const without = CHILDREN.filter(({ facts: { plan } }) => plan === undefined)
  expect(without.length).toBeGreaterThan(0)
  for (const language of LANGUAGES)
    for (const { name, facts } of without)
      expect(allText(paperDocument(facts, { kind: 'family-sheet', language })), name).toMatch(
        said[language],
      )
})

test('who stands for the child is said in the language of the paper where the record says it by a code', () => {
  const said = { en: '(parent)', es: '(madre o padre)' } satisfies Record<Language, string>
  for (const language of LANGUAGES) {
    const [walker] = made('reply', language).filter(({ name }) => name === 'suitable-walker')
    expect(walker && allText(walker.document)).toContain(said[language])
  }
})
