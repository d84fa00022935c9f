import * as fc from 'fast-check'
import { expect, test } from 'vitest'
import type { DevelopmentSince } from '../../../src/domain/follow-up/stall-review.ts'
import {
  gainSinceFitting,
  stalledSinceFitting,
} from '../../../src/domain/follow-up/stall-review.ts'
import { together } from '../../../src/domain/messages/message.ts'
import { speaker } from '../../../src/domain/messages/speaker.ts'
import { faultsInVoices } from '../../helpers/every-voice.ts'
import { RULES } from '../../helpers/rules.ts'
import { changed, NO_CHANGE, sinceWith } from '../../helpers/visits.ts'

const en = speaker('en')

const WAITING = sinceWith({ 'walking-alone': 'not-yet', 'standing-alone': 'not-yet' })
const of = (known: Partial<DevelopmentSince> = {}) =>
  stalledSinceFitting({ weeks: 12, since: WAITING, change: changed(0.3), ...known }, RULES)

test('no new milestone and no gain: stalled from 12 weeks on, not asked the day before', () => {
  expect(of()).toMatchObject({ rule: 'stalled-since-fitting', holds: 'yes' })
  expect(of({ weeks: 40 }).holds).toBe('yes')
  const early = of({ weeks: 83 / 7 })
  expect(early.holds).toBe('no')
  expect(en.therapist(early.because)).toBe('11.9 weeks after delivery; asked from 12 weeks on.')
})

test('the evidence is that of every look, whatever follows; the sources are named', () => {
  for (const known of [{}, { weeks: 1 }, { change: changed(0.9) }])
    expect(of(known)).toMatchObject({
      sources: ['common-practice', 'judgement', 'tempo-model'],
      evidence: ['Observation/standing-alone/_history/1', 'Observation/walking-alone/_history/1'],
    })
})

test('stalled proposes a review to both readers', () => {
  const { because, wording } = of()

  expect(en.therapist(because)).toBe(
    '12 weeks after delivery no new milestone and no gain is shown.',
  )
  expect(wording && en.therapist(wording)).toMatch(/^Review fit, wear time/)
  expect(wording && en.family(wording)).toMatch(/look together/)
  expect(of({ weeks: 11 }).wording).toBeUndefined()
})

test('one new milestone is enough', () => {
  const found = of({ since: sinceWith({ 'walking-alone': 'new', 'standing-alone': 'not-yet' }) })

  expect(found.holds).toBe('no')
  expect(en.therapist(found.because)).toContain('New since the fitting: walking alone.')
  expect(found.wording).toBeUndefined()
})

test('a pace that is faster with 80 % is a gain, with less it is none', () => {
  expect(of({ change: changed(0.8) }).holds).toBe('no')
  expect(of({ change: changed(0.799) }).holds).toBe('yes')
  expect(en.therapist(of({ change: changed(0.8) }).because)).toBe(
    'No new skill. Faster since the fitting with a probability of 80 %.',
  )
})

test('a new described skill is a gain, whatever the pace', () => {
  const since = sinceWith({ 'walking-alone': 'not-yet', running: 'new' })

  expect(of({ since }).holds).toBe('no')
  expect(of({ since, change: NO_CHANGE }).holds).toBe('no')
  expect(en.therapist(of({ since, change: NO_CHANGE }).because)).toBe(
    'New since the fitting: running.',
  )
})

for (const state of ['unclear', 'unknown'] as const)
  test(`a milestone that is ${state}: not known, and it is asked for`, () => {
    const found = of({ since: sinceWith({ 'walking-alone': state }) })

    expect(found.holds).toBe('unknown')
    expect(en.therapist(found.because)).toContain('look for: walking alone')
    expect(found.wording && en.family(found.wording)).toContain('what your child can do now')
  })

test('a gain settles it although a milestone is unknown', () => {
  const since = sinceWith({ 'walking-alone': 'unknown' })

  expect(of({ since, change: changed(0.9) }).holds).toBe('no')
})

test('without a pace, the described skills that were missing tell', () => {
  const gain = (states: Parameters<typeof sinceWith>[0]) =>
    gainSinceFitting({ since: sinceWith(states), change: NO_CHANGE }, RULES)

  expect(gain({})).toBe('unknown')
  expect(gain({ running: 'had' })).toBe('unknown')
  expect(gain({ running: 'not-yet' })).toBe('no')
  expect(gain({ running: 'not-yet', 'creeping-upstairs': 'had' })).toBe('no')
  expect(gain({ running: 'not-yet', 'creeping-upstairs': 'unclear' })).toBe('unknown')
  expect(gain({ running: 'not-yet', 'creeping-upstairs': 'unknown' })).toBe('unknown')
  expect(gain({ running: 'new', 'creeping-upstairs': 'unclear' })).toBe('yes')
})

test('a child who walks and whose missing skills are still missing has stalled', () => {
  const since = sinceWith({ running: 'not-yet' })

  expect(of({ since, change: NO_CHANGE }).holds).toBe('yes')
})

test('with nothing left that anybody looked for, it says so instead of guessing', () => {
  const found = of({ since: sinceWith(), change: NO_CHANGE })

  expect(found.holds).toBe('unknown')
  expect(en.therapist(found.because)).toContain('no milestone is left')
})

test('something new never makes a child stalled', () => {
  const state = fc.constantFrom('had', 'not-yet', 'unclear', 'unknown', 'new' as const)
  fc.assert(
    fc.property(state, state, fc.double({ min: 0, max: 1, noNaN: true }), (walks, runs, p) => {
      const known = {
        change: changed(p),
        since: sinceWith({ 'walking-alone': walks, running: runs }),
      }
      const more = {
        change: changed(p),
        since: sinceWith({ 'walking-alone': walks, running: 'new' }),
      }

      expect(of(more).holds).toBe('no')
      expect(of(known).holds === 'yes' && (walks === 'new' || runs === 'new')).toBe(false)
    }),
  )
})

test('every outcome is said in every voice', () => {
  const found = [
    of(),
    of({ weeks: 1 }),
    of({ weeks: 11 }),
    of({ since: sinceWith({ 'walking-alone': 'new', running: 'new' }) }),
    of({ change: changed(0.9) }),
    of({ since: sinceWith({ 'walking-alone': 'unclear', running: 'unclear' }) }),
    of({ since: sinceWith(), change: NO_CHANGE }),
  ]

  expect(faultsInVoices(found.map(({ because }) => because))).toEqual([])
  expect(faultsInVoices(found.flatMap(({ wording }) => wording ?? []))).toEqual([])
  expect(speaker('es').family(found[3]?.because ?? together([]))).toMatch(
    /^Nuevo desde que .*: caminar sin ayuda y correr\./,
  )
})
