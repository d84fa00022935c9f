import { describe, expect, test } from 'vitest'
import type { PaperDocument } from '../../src/documents/document.ts'
import { paperDocument } from '../../src/documents/paper.ts'
import { CATALOGUES, type Language } from '../../src/domain/messages/catalogues.ts'
import { DOCUMENT_KINDS, type DocumentKind } from '../../src/fhir/document-codes.ts'
import type { Resource } from '../../src/fhir/r4/types.ts'
import { drawPicture } from '../../src/pictures/picture.ts'
import { textsOf } from '../helpers/paper-texts.ts'
import { seedPapers } from '../helpers/papers.ts'
import { coded } from '../helpers/referral.ts'
import { withData } from '../helpers/svg.ts'

// Papers of a child who wears devices tell of those, not of what was once proposed. The children are invented and of
// 15 June 2026; their devices were delivered on the first, so that day is the 15th of wearing.

const LANGUAGES = Object.keys(CATALOGUES) as Language[]
const DELIVERED = '2026-06-01'
const LEFT = { bodySite: coded('side', 'left-foot') }

const worn = (patient: string): Resource[] => [
  {
    resourceType: 'Device',
    status: 'active',
    type: coded('exchange', 'supramalleolar-orthosis'),
    modelNumber: 'G6',
    patient: { reference: patient },
  },
  {
    resourceType: 'DeviceUseStatement',
    status: 'active',
    subject: { reference: patient },
    // It stands before, as the first of what comes on top.
    device: { reference: 'Device/more-0' },
    timingPeriod: { start: DELIVERED },
    ...LEFT,
  },
]
const blister = (patient: string): Resource => ({
  resourceType: 'Observation',
  status: 'final',
  code: coded('observation', 'worn-blister'),
  subject: { reference: patient },
  effectiveDateTime: '2026-06-14',
  valueBoolean: true,
  ...LEFT,
})

const BEFORE = seedPapers()
const WORN = seedPapers(worn)
const STOPPED = seedPapers((patient) => [...worn(patient), blister(patient)])
type Papers = typeof WORN

const sectionOf = ({ sections }: PaperDocument, id: string) => sections.find((one) => one.id === id)
const textOf = (document: PaperDocument, id: string): string =>
  sectionOf(document, id)?.pieces.flatMap(textsOf).join('\n') ?? ''

const papers = (of: Papers, kind: DocumentKind, language: Language = 'en') =>
  of.flatMap(({ name, facts }) =>
    ['reply', 'family-sheet'].includes(kind) || facts.plan !== undefined
      ? [{ name, facts, document: paperDocument(facts, { kind, language }) }]
      : [],
  )

describe.each(DOCUMENT_KINDS)('%s', (kind) => {
  test('tells of the devices of a child who wears some, and of no other', () => {
    for (const { name, document } of papers(WORN, kind))
      expect(textOf(document, 'since-fitting'), name).toMatch(/June 1, 2026.* 15/u)
    for (const { name, document } of papers(BEFORE, kind))
      expect(sectionOf(document, 'since-fitting'), name).toBeUndefined()
  })

  test('says stop, and why, in every language, when a device must come off', () => {
    const said = {
      en: /Stop: |leave the supports off/u,
      es: /Suspender: |no le ponga los soportes/u,
    }
    const sign = { en: /blister/u, es: /ampolla/u }
    for (const language of LANGUAGES)
      for (const { name, document } of papers(STOPPED, kind, language)) {
        expect(textOf(document, 'since-fitting'), name).toMatch(said[language])
        expect(textOf(document, 'since-fitting'), name).toMatch(sign[language])
      }
  })
})

test('no paper foretells a delivery that has been', () => {
  for (const kind of DOCUMENT_KINDS)
    for (const { name, document } of [...papers(WORN, kind), ...papers(STOPPED, kind)])
      expect(
        document.sections.flatMap(({ pieces }) => pieces.flatMap(textsOf)).join('\n'),
        name,
      ).not.toMatch(/expected on|If you get the supports later/u)
})

test('no paper tells how long to wear what must stay off', () => {
  const schedule = /30-60 min/u
  const told = (of: Papers, kind: DocumentKind, language: Language) =>
    papers(of, kind, language).some(({ document }) =>
      schedule.test(document.sections.flatMap(({ pieces }) => pieces.flatMap(textsOf)).join('\n')),
    )
  for (const language of LANGUAGES) {
    for (const kind of DOCUMENT_KINDS) expect(told(STOPPED, kind, language), kind).toBe(false)
    expect(told(WORN, 'authorisation-packet', language)).toBe(true)
  }
})

test('visits are counted from the delivery: two weeks after it is the day of the papers', () => {
  for (const { document } of papers(WORN, 'reply'))
    expect(textOf(document, 'follow-up')).toContain('June 15, 2026')
})

test('the sheet for the family has no times to wear what must stay off', () => {
  for (const { name, document } of papers(WORN, 'family-sheet'))
    expect(textOf(document, 'wear'), name).toContain('30 minutes')
  for (const { name, document } of papers(STOPPED, 'family-sheet')) {
    expect(textOf(document, 'wear'), name).not.toMatch(/minutes|hours/u)
    expect(textOf(document, 'wear'), name).toContain('do not put the supports on')
    expect(textOf(document, 'follow-up'), name).toContain('call us now')
  }
})

test('who wears devices is told of skin and stop signs, whatever would be proposed today', () => {
  const unsuitable = papers(WORN, 'family-sheet').filter(({ facts }) => facts.plan === undefined)
  expect(unsuitable.length).toBeGreaterThan(0)
  for (const { name, document } of unsuitable) {
    expect(textOf(document, 'stop'), name).not.toBe('')
    expect(textOf(document, 'examination'), name).toContain('20 minutes')
    expect(textOf(document, 'plan'), name).not.toContain('do not suggest foot supports')
  }
})

test('the picture of wearing hours marks the day, and shows none while the devices stay off', () => {
  for (const { name, facts } of WORN) {
    const { svg, description } = drawPicture('wear', facts, { language: 'en' })
    expect(withData(svg, 'minutes').length, name).toBe(14)
    expect(description, name).toContain('today is day 15')
  }
  for (const { name, facts } of STOPPED) {
    const { svg, description } = drawPicture('wear', facts, { language: 'en' })
    expect(withData(svg, 'minutes'), name).toEqual([])
    expect(description, name).toContain('the devices stay off')
  }
})

test('devices whose use is on hold stay off, and the papers say so', () => {
  const paused = seedPapers((patient) =>
    worn(patient).map((one) =>
      one.resourceType === 'DeviceUseStatement' ? { ...one, status: 'on-hold' as const } : one,
    ),
  )
  for (const { name, document } of papers(paused, 'family-sheet')) {
    expect(textOf(document, 'since-fitting'), name).toContain('on hold')
    expect(textOf(document, 'wear'), name).not.toMatch(/minutes|hours/u)
  }
  for (const { name, facts } of paused)
    expect(withData(drawPicture('wear', facts, { language: 'en' }).svg, 'minutes'), name).toEqual(
      [],
    )
})
