import { expect, test } from 'vitest'
import { evidenceStatements } from '../../../src/domain/decision/evidence-statements.ts'
import type { Outcome } from '../../../src/domain/decision/suitability.ts'
import type { Truth } from '../../../src/domain/truth.ts'
import { finding } from '../../helpers/findings.ts'
import { RULES } from '../../helpers/rules.ts'
import { speaker } from '../../../src/domain/messages/speaker.ts'
import { faultsInVoices } from '../../helpers/every-voice.ts'

const english = speaker('en')
const spanish = speaker('es')

const statements = (
  outcome: Outcome,
  walks: Truth,
  flags: Record<string, Truth> = {},
  older = false,
) =>
  evidenceStatements(
    {
      outcome,
      walksAlone: finding('walks-alone', walks),
      redFlags: Object.entries(flags).map(([rule, holds]) => finding(rule, holds)),
      olderThanService: older,
    },
    RULES.suitability,
  )
const told = (...args: Parameters<typeof statements>) => statements(...args).map(english.therapist)

for (const walks of ['no', 'unknown'] as const)
  test(`before walking is established (${walks}) the only trial and a limited trial are stated`, () => {
    const [evidence, trial, ...rest] = told('suitable-after-review', walks)

    expect(evidence).toMatch(/n = 17, Down syndrome; Looper and Ulrich 2010/)
    expect(evidence).toMatch(/lower gross motor scores one month after walking onset/)
    expect(evidence).toMatch(/already walk \(Martin 2004\)/)
    expect(trial).toMatch(/barefoot play protected.*review at 4-8 weeks/)
    expect(rest).toEqual([])
  })

test('a child that walks is told the low certainty, and not the trial before walking', () => {
  const said = told('suitable', 'yes')

  expect(said).toHaveLength(1)
  expect(said[0]).toMatch(/certainty of the evidence is low/)
})

for (const outcome of ['watch', 'unsuitable', 'undetermined'] as const)
  test(`${outcome}: nothing is offered, so nothing is said about trials`, () => {
    expect(told(outcome, 'yes')).toEqual([])
    expect(told(outcome, 'no')).toEqual([])
  })

test('red flags that hold go to a physician, those not recorded are not called absent', () => {
  const flags = { 'gowers-sign': 'yes', regression: 'unknown', 'knee-angle': 'no' } as const

  expect(told('undetermined', 'yes', flags)).toEqual([
    'To be seen by a physician first: Gowers sign.',
    'Red flags not recorded, so not known to be absent: loss of skills.',
  ])
})

test('a child older than the clinic sees is referred elsewhere', () => {
  expect(told('watch', 'yes', {}, true)).toEqual([
    'Older than the clinic sees: refer to a service for older children.',
  ])
})

test('the family is told the same trial in plain words, in both languages', () => {
  const [evidence, trial] = statements('suitable-after-review', 'no')

  expect(evidence && english.family(evidence)).toMatch(
    /17 babies with Down syndrome.*those with supports moved less well/,
  )
  expect(trial && english.family(trial)).toMatch(/After 4 to 8 weeks/)
  expect(evidence && spanish.therapist(evidence)).toMatch(/n = 17, síndrome de Down/)
  expect(trial && spanish.family(trial)).toMatch(/Después de 4 a 8 semanas/)
})

test('red flags that nobody recorded are not told to the family as absent', () => {
  const [open] = statements('undetermined', 'yes', { regression: 'unknown' })

  expect(open && english.family(open)).toMatch(/we do not know whether your child has any of it/)
})

test('every statement can be said, in each language and voice', () => {
  expect(
    faultsInVoices([
      ...statements('suitable', 'yes', { 'gowers-sign': 'yes', regression: 'unknown' }, true),
      ...statements('suitable-after-review', 'no'),
    ]),
  ).toEqual([])
})
