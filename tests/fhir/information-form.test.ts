import { createHash } from 'node:crypto'
import { expect, test } from 'vitest'
import { DESCRIBED_SKILLS, MILESTONES, SIDES, SIGNS } from '../../src/domain/child.ts'
import { speaker } from '../../src/domain/messages/speaker.ts'
import { say } from '../../src/domain/messages/message.ts'
import { factCodes } from '../../src/fhir/fact-codes.ts'
import {
  canonicalOf,
  FORM_VERSION,
  formQuestionnaire,
  informationForm,
} from '../../src/fhir/information-form.ts'
import { FACT_QUESTIONS } from '../../src/fhir/information-questions.ts'
import { type NeededObservation, neededObservations } from '../../src/fhir/needed-observations.ts'
import { validateResource } from '../../src/fhir/validate.ts'

const because = say('open-question.low-tone')
const needs = (...facts: readonly string[]): NeededObservation[] =>
  neededObservations([{ rule: 'low-tone', facts, decides: 1, because }])

/** Every fact that the decision may name, by domain/decision/deciding-facts.ts. */
const DECIDING = [
  'gestationDays',
  'tone',
  'standardised',
  'milestoneChecks',
  ...MILESTONES.map((one) => `milestoneChecks.${one}`),
  ...DESCRIBED_SKILLS.map((one) => `skillChecks.${one}`),
  ...SIGNS.map((one) => `signs.${one}`),
  ...SIDES.flatMap((side) =>
    [
      'fpi',
      'archSeenUnloaded',
      'tiptoeArchAndHeelInversion',
      'greatToeExtensionRaisesArch',
      'ankleDorsiflexion',
      'openSkin',
      'insensate',
      'ashworthCalf',
    ].map((name) => `${name}.${side}`),
  ),
]
const EN = { speaker: speaker('en') }

test.each(DECIDING)('%s can be sent as an observation and asked with a form', (fact) => {
  const codes = factCodes(fact)
  const form = informationForm(needs(fact))

  expect(codes.length).toBeGreaterThan(0)
  expect(form?.questions).toHaveLength(codes.length)
})

test('an observation that several rules need is asked for once, in the order of the first', () => {
  const needed = neededObservations([
    { rule: 'raised-tone', facts: ['tone', 'ashworthCalf.left'], decides: 0.5, because },
    { rule: 'low-tone', facts: ['signs.generalised-laxity', 'tone'], decides: 0.2, because },
  ])

  expect(needed.map(({ code, side }) => [code.code, side])).toEqual([
    ['muscle-tone', undefined],
    ['modified-ashworth-calf', 'left'],
    ['generalised-laxity', undefined],
  ])
})

test('nothing needed has no form', () => {
  expect(informationForm([])).toBeUndefined()
})

test('one set of facts has one form in whatever order it is needed; another set has another', () => {
  const one = informationForm(needs('tone', 'openSkin.left'))
  const turned = informationForm(needs('openSkin.left', 'tone'))
  const other = informationForm(needs('openSkin.right', 'tone'))

  expect(turned?.url).toBe(one?.url)
  expect(other?.url).not.toBe(one?.url)
})

test.each(['en', 'es'] as const)('the form of all facts in %s is valid R4', (language) => {
  const form = informationForm(needs(...DECIDING))
  if (form === undefined) throw new Error('There is no form')

  const made = formQuestionnaire(form, { speaker: speaker(language) })

  expect(validateResource(made)).toEqual([])
  expect(made.language).toBe(language)
})

test('a yes-no question offers yes, no and not known, and is said in Spanish too', () => {
  const form = informationForm(needs('openSkin.left'))
  if (form === undefined) throw new Error('There is no form')

  const [item] = formQuestionnaire(form, EN).item ?? []

  expect(item?.text).toBe('Is this seen on the left foot: open skin?')
  expect(JSON.stringify(item?._text)).toContain('¿Se observa en el pie izquierdo: piel abierta?')
  expect(item?.definition).toBe(
    'https://footing.example/fhir/StructureDefinition/fact#Observation.value[x]',
  )
  expect(item?.answerOption?.map(({ valueCoding }) => valueCoding?.code)).toEqual([
    'yes',
    'no',
    'unknown',
  ])
})

test('an item of a foot carries its code and its side; a quantity its unit', () => {
  const form = informationForm(needs('ankleDorsiflexion.right'))
  if (form === undefined) throw new Error('There is no form')

  const [item] = formQuestionnaire(form, EN).item ?? []

  expect(item?.linkId).toBe('ankle-dorsiflexion-knee-straight.right')
  expect(item?.code?.map(({ code }) => code)).toEqual([
    'ankle-dorsiflexion-knee-straight',
    'right-foot',
  ])
  expect(item?.type).toBe('quantity')
  expect(item?.extension?.map(({ valueCoding }) => valueCoding?.code)).toContain('deg')
})

/** Whoever changes a question gives the forms a new version: stored forms are never changed. */
const PINNED = { version: '1', hash: '65d80ee41ec12016' }

test('the version of the forms is new when a question, an answer or their order is', () => {
  const form = informationForm(needs(...DECIDING))
  if (form === undefined) throw new Error('There is no form')
  const { text, ...made } = formQuestionnaire(form, EN)
  const hash = createHash('sha256').update(JSON.stringify(made)).digest('hex').slice(0, 16)

  expect(text).toBeDefined()
  expect({ version: FORM_VERSION, hash }).toEqual(PINNED)
  expect(canonicalOf(form).endsWith(`|${FORM_VERSION}`)).toBe(true)
})

test('every question has its own name', () => {
  const names = FACT_QUESTIONS.map(({ linkId }) => linkId)

  expect(new Set(names).size).toBe(names.length)
})
