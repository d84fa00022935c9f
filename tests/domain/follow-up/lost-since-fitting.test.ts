import { expect, test } from 'vitest'
import type { Child } from '../../../src/domain/child.ts'
import { evidenceRef } from '../../../src/domain/facts.ts'
import { lostSinceFitting } from '../../../src/domain/follow-up/lost-since-fitting.ts'
import { speaker } from '../../../src/domain/messages/speaker.ts'
import { faultsInVoices } from '../../helpers/every-voice.ts'
import { child } from '../../helpers/child.ts'
import { AS_OF, finding, SOMETHING_SAID, walking } from '../../helpers/plans.ts'
import { DELIVERED, sign, sinceWith } from '../../helpers/visits.ts'

const en = speaker('en')
const LOOKED = evidenceRef('Observation/looked/_history/1')

const of = (
  redFlags: Partial<Child['redFlags']> = {},
  { states = {}, regression = 'no' }: Known = {},
) =>
  lostSinceFitting(
    {
      child: child({ redFlags: { ...child().redFlags, ...redFlags } }),
      milestones: {
        ...walking('yes'),
        regression: { ...finding('regression', regression), evidence: [LOOKED] },
      },
      since: sinceWith(states),
    },
    { deliveredOn: DELIVERED, asOf: AS_OF },
  )
interface Known {
  states?: Parameters<typeof sinceWith>[0]
  regression?: 'yes' | 'no' | 'unknown'
}

test('nothing lost: no, and nobody is asked', () => {
  expect(of()).toMatchObject({ rule: 'lost-since-fitting', holds: 'no' })
  expect(of()).not.toHaveProperty('wording')
})

test('a milestone lost since the fitting: stop, a physician looks first', () => {
  const found = of({}, { states: { 'walking-alone': 'lost' }, regression: 'yes' })

  expect(found).toMatchObject({ holds: 'yes', evidence: ['Observation/walking-alone/_history/1'] })
  expect(en.therapist(found.because)).toBe('Lost since the fitting: walking alone.')
  expect(found.wording && en.therapist(found.wording)).toContain('a physician looks first')
  expect(found.wording && en.family(found.wording)).toMatch(
    /leave the supports off and call us.*doctor/,
  )
})

for (const flag of ['loss-of-skills', 'rising-tone-or-clonus'] as const)
  test(`${flag} recorded between delivery and visit holds; before, after or absent it does not`, () => {
    const found = [0, 84, 85, -1].map((daysAgo) => of({ [flag]: sign(true, daysAgo) }).holds)

    expect(found).toEqual(['yes', 'yes', 'no', 'no'])
    expect(of({ [flag]: sign(false) }).holds).toBe('no')
    expect(of({ [flag]: sign(true, 3) }).evidence).toEqual(['Observation/sign-true-3/_history/1'])
  })

test('another red flag is not this rule', () => {
  expect(of({ 'hand-preference': sign(true) }).holds).toBe('no')
})

test('checks that leave a loss open are unknown; a loss of before the fitting is none since', () => {
  expect(of({}, { regression: 'unknown' })).toMatchObject({ holds: 'unknown' })
  expect(of({}, { regression: 'yes' }).holds).toBe('no')
  expect(of({ 'loss-of-skills': sign(true) }, { regression: 'unknown' }).holds).toBe('yes')
})

test('the evidence is what was lost, else that of the milestones; the sources are the same', () => {
  const known = { states: { 'walking-alone': 'lost' }, regression: 'yes' } as const
  const sources = ['common-practice', 'judgement']

  expect(of({ 'loss-of-skills': sign(true, 3) }, known)).toMatchObject({
    evidence: ['Observation/sign-true-3/_history/1', 'Observation/walking-alone/_history/1'],
    sources,
  })
  for (const regression of ['no', 'unknown'] as const)
    expect(of({}, { regression })).toMatchObject({ evidence: [LOOKED], sources })
})

test('what is unknown is said in the words of the milestones', () => {
  expect(of({}, { regression: 'unknown' }).because).toBe(SOMETHING_SAID)
})

test('everything lost is named, in every voice', () => {
  const flags = { 'loss-of-skills': sign(true), 'rising-tone-or-clonus': sign(true) }
  const all = of(flags, { states: { 'walking-alone': 'lost', 'standing-alone': 'lost' } })

  expect(en.therapist(all.because)).toBe(
    'Lost since the fitting: standing alone and walking alone. Loss of skills recorded since the fitting. Rising tone or clonus recorded since the fitting.',
  )
  expect(speaker('es').family(all.because)).toMatch(
    /: estar de pie sin ayuda y caminar sin ayuda\./,
  )
  expect(faultsInVoices([all.because, ...(all.wording ? [all.wording] : [])])).toEqual([])
  expect(faultsInVoices([of().because])).toEqual([])
})
