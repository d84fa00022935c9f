import { expect, test } from 'vitest'
import {
  FIT_CHECK_URL,
  fitCheckAnswers,
  fitCheckFaults,
  fitChecksOf,
  isFitCheck,
} from '../../src/fhir/fit-check-answers.ts'
import { asResource } from '../../src/fhir/validate.ts'
import { type Json, quantity } from '../helpers/referral.ts'

const response = (items: readonly Json[], more: Json = {}) => {
  const resource = asResource({
    resourceType: 'QuestionnaireResponse',
    questionnaire: FIT_CHECK_URL,
    status: 'completed',
    authored: '2026-03-01',
    ...(items.length === 0 ? {} : { item: items }),
    ...more,
  })
  if (resource.resourceType !== 'QuestionnaireResponse') throw new Error('another type')
  return resource
}
const item = (linkId: string, ...answer: readonly Json[]): Json => ({
  linkId,
  ...(answer.length === 0 ? {} : { answer }),
})
const read = (...items: readonly Json[]) =>
  fitCheckAnswers({ reference: 'QuestionnaireResponse/a/_history/1', resource: response(items) })

test('yes and no, millimetres and minutes are read with their foot', () => {
  const { answers, sides } = read(
    item('heel-fully-back-and-down.left', { valueBoolean: false }),
    item('closure-gap.right', quantity(1.4, 'cm')),
    item('redness.right', quantity(25, 'min')),
    item('floor-to-stand-and-back', { valueBoolean: true }),
  )

  expect(answers).toEqual(
    [
      { id: 'heel-fully-back-and-down', side: 'left', value: false },
      { id: 'closure-gap', side: 'right', value: 14 },
      { id: 'redness', side: 'right', value: 25 },
      { id: 'floor-to-stand-and-back', value: true },
    ].map((one) => ({ ...one, evidence: 'QuestionnaireResponse/a/_history/1' })),
  )
  expect(sides).toEqual(['left', 'right'])
})

test('an item without an answer has none, and no answer at all speaks of no foot', () => {
  expect(read(item('closure-gap.left'))).toEqual({ answers: [], sides: [] })
  expect(read()).toEqual({ answers: [], sides: [] })
})

test('two answers to one item are both there, so that the disagreement shows', () => {
  const twice = item('closure-gap.left', quantity(10, 'mm'), quantity(20, 'mm'))

  expect(read(twice).answers.map(({ value }) => value)).toEqual([10, 20])
})

test.each<[string, Json]>([
  ['words', { valueString: 'fits' }],
  ['a unit nobody measures with', quantity(1, 'kg')],
  ['a unit that is not coded', { valueQuantity: { value: 12, unit: 'mm' } }],
])('an answer in %s is refused with its place', (_, answer) => {
  const faults = fitCheckFaults(
    response([item('a', { valueBoolean: true }), item('b', answer)]),
    'X',
  )

  expect(faults).toMatchObject([
    { expression: 'X.item[1].answer[0]', rule: 'fit-check-answer', code: 'value' },
  ])
})

test('a fit check is known by its questionnaire, whatever its version', () => {
  expect(isFitCheck(response([]))).toBe(true)
  expect(isFitCheck(response([], { questionnaire: `${FIT_CHECK_URL}|2026.1` }))).toBe(true)
  expect(isFitCheck(response([], { questionnaire: `${FIT_CHECK_URL}-2` }))).toBe(false)
})

test('fit checks that were completed are given oldest first; drafts and errors are left out', () => {
  const entry = (id: string, more: Json) => ({
    reference: `QuestionnaireResponse/${id}/_history/1`,
    resource: response([], more),
  })
  const found = fitChecksOf([
    entry('late', { authored: '2026-03-01' }),
    entry('early', { authored: '2026-02-01', status: 'amended' }),
    entry('draft', { status: 'in-progress' }),
    entry('error', { status: 'entered-in-error' }),
    entry('other', { questionnaire: 'https://practice.example/another' }),
  ])

  expect(found.map(({ reference }) => reference.split('/')[1])).toEqual(['early', 'late'])
})
