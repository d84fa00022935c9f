import { readFileSync } from 'node:fs'
import { expect, test } from 'vitest'
import { z } from 'zod'
import type { PaperDocument, Piece } from '../../src/documents/document.ts'
import { paperDocument } from '../../src/documents/paper.ts'
import { CATALOGUES, type Language, type MessageKey } from '../../src/domain/messages/catalogues.ts'
import { DOCUMENT_KINDS, SECTION_IDS } from '../../src/fhir/document-codes.ts'
import { type Words, wordsOf } from '../../src/pictures/words.ts'
import { textsOf } from '../helpers/paper-texts.ts'
import { seedPapers } from '../helpers/papers.ts'

// What each paper has to hold, with the source of each row: tests/cases/paper-elements.json.

const isKey = (key: string): key is MessageKey => key in CATALOGUES.en
const Key = z.string().refine(isKey)
const Row = z.strictObject({
  says: z.string().min(1),
  source: z.string().min(1),
  section: z.enum(SECTION_IDS),
  /** A text of the catalogue that stands in the section. */
  text: Key.optional(),
  /** What stands in the section in words of our own. */
  words: z.strictObject({ en: z.string(), es: z.string() }).optional(),
  /** The element of a checklist; it is on record, or listed as missing. */
  open: Key.optional(),
})
type Row = z.infer<typeof Row>
const { papers: PAPERS } = z
  .object({
    papers: z.array(
      z.strictObject({
        kind: z.enum(DOCUMENT_KINDS),
        /** Of a child for whom a device is proposed. */
        planned: z.boolean().default(false),
        rows: z.array(Row),
      }),
    ),
  })
  .parse(JSON.parse(readFileSync(new URL('../cases/paper-elements.json', import.meta.url), 'utf8')))

const LANGUAGES = Object.keys(CATALOGUES) as Language[]
const CHILDREN = seedPapers()
const FOR_ALL = ['reply', 'family-sheet']

const textsWithPictures = (piece: Piece): readonly string[] =>
  piece.kind === 'picture' ? [piece.picture.description] : textsOf(piece)

const textsIn = ({ sections }: PaperDocument, id: string): readonly string[] =>
  sections.filter((one) => one.id === id).flatMap(({ pieces }) => pieces.flatMap(textsWithPictures))

/** What a document lacks of a row. */
function lackOf(document: PaperDocument, row: Row, words: Words): string[] {
  const texts = textsIn(document, row.section)
  const said = texts.join('\n')
  const wanted = row.text === undefined ? undefined : words.say(row.text)
  return [
    ...(texts.some((text) => text.trim() !== '') ? [] : [`no section ${row.section}`]),
    ...(wanted === undefined || texts.includes(wanted) ? [] : [`not said: ${wanted}`]),
    ...(row.words === undefined || said.includes(row.words[words.language])
      ? []
      : [`not said: ${row.words[words.language]}`]),
    ...(row.open === undefined ? [] : notListed(document, row.open, words)),
  ]
}

/** An element that is missing, whole or in part, where the list of what is missing does not name it. */
function notListed(document: PaperDocument, open: MessageKey, words: Words): string[] {
  const label = words.say(open)
  const rows = document.sections.flatMap(({ pieces }) =>
    pieces.flatMap((piece) => (piece.kind === 'table' ? piece.rows : [])),
  )
  const known = rows.filter(([name]) => name === label).map(([, text = '']) => text)
  const missing = words.say('part.paper-is-missing')
  const listed = textsIn(document, 'missing').some((text) => text.startsWith(label))
  const isOpen = known.some((text) => text === missing || text === '')
  return isOpen && !listed ? [`missing and not listed: ${label}`] : []
}

for (const { kind, planned, rows } of PAPERS)
  for (const language of LANGUAGES)
    test(`${kind}${planned ? ' with a plan' : ''} in ${language}: every row of its table, or it is listed as missing`, () => {
      const words = wordsOf({ language, voice: kind === 'family-sheet' ? 'family' : 'therapist' })
      const children = CHILDREN.filter(
        ({ facts }) => facts.plan !== undefined || (FOR_ALL.includes(kind) && !planned),
      )
      const lacks = children.flatMap(({ name, facts }) => {
        const document = paperDocument(facts, { kind, language })
        return rows.flatMap((row) =>
          lackOf(document, row, words).map((lack) => `${name}, ${row.says}: ${lack}`),
        )
      })

      expect(children.length).toBeGreaterThan(0)
      expect(lacks).toEqual([])
    })

test('there is a table of each paper, and each row of it names its source or that it has none', () => {
  expect(new Set(PAPERS.map(({ kind }) => kind))).toEqual(new Set(DOCUMENT_KINDS))
  for (const { source } of PAPERS.flatMap(({ rows }) => rows))
    expect(source).toMatch(/\d{4}|CFR|U\.S\.C\.|Leaflet|no source|from memory/)
})

test('the statement lists what only its author can say, each time', () => {
  // Nothing of ours says why it is needed, what a cheaper item lacks, or which gain is expected.
  const open = ['part.lmn-why', 'part.lmn-less-costly', 'part.lmn-goals', 'part.lmn-names'] as const
  const words = wordsOf({ language: 'en' })
  for (const { facts } of CHILDREN.filter(({ facts: { plan } }) => plan !== undefined)) {
    const missing = textsIn(
      paperDocument(facts, { kind: 'medical-necessity', language: 'en' }),
      'missing',
    )
    for (const key of open)
      expect(
        missing.some((item) => item.startsWith(words.say(key))),
        key,
      ).toBe(true)
  }
})

test('a paper without a section, or whose missing element is not listed, is found out', () => {
  const facts = CHILDREN.find(({ facts: { plan } }) => plan !== undefined)?.facts
  if (facts === undefined) throw new Error('no child with a plan')
  const document = paperDocument(facts, { kind: 'order', language: 'en' })
  const words = wordsOf({ language: 'en' })
  const without = (id: string) => ({
    ...document,
    sections: document.sections.filter((one) => one.id !== id),
  })
  const row = PAPERS.find(({ kind }) => kind === 'order')?.rows.find(
    ({ open }) => open === 'part.swo-order-date',
  )
  if (row === undefined) throw new Error('no row')

  expect(lackOf(document, row, words)).toEqual([])
  expect(lackOf(without('missing'), row, words)).toEqual(['missing and not listed: Order date'])
  expect(lackOf(without('elements'), row, words)).toEqual([
    'no section elements',
    'not said: Order date',
  ])
})

test('what the packet shows as missing of the statement, whole or in part, the statement lists', () => {
  const { rows = [] } = PAPERS.find(({ kind }) => kind === 'medical-necessity') ?? {}
  const labels = rows.flatMap(({ open }) =>
    open === undefined ? [] : [wordsOf({ language: 'en' }).say(open)],
  )
  const planned = CHILDREN.filter(({ facts: { plan } }) => plan !== undefined)
  for (const { name, facts } of planned) {
    const packet = paperDocument(facts, { kind: 'authorisation-packet', language: 'en' })
    const statement = paperDocument(facts, { kind: 'medical-necessity', language: 'en' })
    const shown = packet.sections
      .flatMap(({ pieces }) => pieces.flatMap((one) => (one.kind === 'table' ? one.rows : [])))
      .filter(([label = '', text = '']) => labels.includes(label) && /\bmissing\b/.test(text))
      .map(([label]) => label)
    const listed = textsIn(statement, 'missing').flatMap((text) =>
      labels.filter((label) => text === label || text.startsWith(`${label}: `)),
    )

    expect(shown.length, name).toBeGreaterThan(0)
    expect(listed, name).toEqual(shown)
  }
})
