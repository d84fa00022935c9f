import * as fc from 'fast-check'
import { expect, test } from 'vitest'
import { fitCheck } from '../../../src/domain/plan/fit-check.ts'
import { FIT_VERDICTS, fitVerdict } from '../../../src/domain/follow-up/fit-check-verdict.ts'
import { speaker } from '../../../src/domain/messages/speaker.ts'
import { faultsInVoices } from '../../helpers/every-voice.ts'
import { RULES } from '../../helpers/rules.ts'

const en = speaker('en')
const items = fitCheck(['left'], RULES)
const item = (id: string) => {
  const found = items.find((one) => one.id === id)
  if (found === undefined) throw new Error(`no item ${id}`)
  return found
}
const verdict = (id: string, ...values: readonly (boolean | number | 'unknown')[]) =>
  fitVerdict(item(id), values, RULES)

const LIMITS = [
  ['closure-gap', 7, 19],
  ['medial-trim-line', 2, 6],
  ['lateral-trim-line', 0, 4],
] as const

for (const [id, min, max] of LIMITS)
  test(`${id}: ${min} to ${max} mm pass, ends included; just outside is adjusted`, () => {
    for (const mm of [min, (min + max) / 2, max]) expect(verdict(id, mm).verdict).toBe('pass')
    for (const mm of [min - 0.1, max + 0.1]) expect(verdict(id, mm).verdict).toBe('adjust')
  })

test('redness of 20 minutes passes, over 20 is told, of 30 too, over 30 stops', () => {
  const found = [0, 20, 20.5, 30, 30.5, 240].map((minutes) => verdict('redness', minutes).verdict)

  expect(found).toEqual(['pass', 'pass', 'tell', 'tell', 'stop', 'stop'])
})

test('redness past a limit says so to therapist and family, with the foot and what to do', () => {
  const { wording } = verdict('redness', 25)

  expect(en.therapist(wording)).toBe(
    'Left: redness is seen for 25 minutes, over 20: look at the fit there.',
  )
  expect(en.family(wording)).toBe(
    'Left foot: the redness stays longer than 20 minutes. Please tell us, so that we can have a look.',
  )
  expect(speaker('es').family(wording)).toMatch(
    /^Pie izquierdo: la piel sigue roja más de 20 minutos/,
  )
  expect(en.family(verdict('redness', 31).wording)).toMatch(
    /30 minutes. Please leave the support off and call us/,
  )
})

test('a yes-no item passes with yes and is adjusted with no', () => {
  for (const { id, answer } of items.filter((one) => one.answer === 'yes-no')) {
    expect([id, answer, verdict(id, true).verdict]).toEqual([id, 'yes-no', 'pass'])
    expect(verdict(id, false)).toMatchObject({ verdict: 'adjust', adjustment: { mm: 'unknown' } })
  }
})

test('without an answer, or with an unknown one, every item is open and asked again', () => {
  for (const one of items) {
    expect(fitVerdict(one, [], RULES).verdict).toBe('unknown')
    expect(fitVerdict(one, ['unknown'], RULES).verdict).toBe('unknown')
    expect(en.therapist(fitVerdict(one, [], RULES).wording)).toMatch(/^Not answered: /)
    expect(en.family(fitVerdict(one, [], RULES).wording)).toContain(en.family(one.question))
  }
})

test('a value that cannot be leaves the item open', () => {
  expect(verdict('redness', -1).verdict).toBe('unknown')
  expect(verdict('redness', Number.NaN).verdict).toBe('unknown')
  expect(verdict('closure-gap', Number.NaN).verdict).toBe('unknown')
  expect(verdict('medial-trim-line', Infinity).verdict).toBe('unknown')
  expect(verdict('closure-gap', -4).verdict).toBe('adjust')
})

test('answers that disagree leave the item open; the same twice does not', () => {
  expect(verdict('closure-gap', 13, 14)).toMatchObject({ verdict: 'unknown' })
  expect(en.therapist(verdict('closure-gap', 13, 14).wording)).toBe(
    'The answers disagree: closure gap (left).',
  )
  expect(verdict('closure-gap', 13, 13).verdict).toBe('pass')
  expect(verdict('heel-fully-back-and-down', true, false).verdict).toBe('unknown')
  expect(verdict('heel-fully-back-and-down', true, 'unknown').verdict).toBe('pass')
})

test('an answer that means stop is not outvoted by another', () => {
  expect(verdict('redness', 5, 40).verdict).toBe('stop')
  expect(verdict('redness', 40, 5).verdict).toBe('stop')
  expect(verdict('redness', 5, 25).verdict).toBe('unknown')
})

test('an answer of another kind than asked is refused', () => {
  const refused = expect.objectContaining({ kind: 'business-rule' }) as unknown as Error

  expect(() => verdict('closure-gap', true)).toThrow(refused)
  expect(() => verdict('ankle-bones-free', 3)).toThrow(refused)
  expect(() => verdict('ankle-bones-free', 3)).toThrow(
    'an answer is not of the kind that its question asks for',
  )
})

test('an item that can fail and has no remedy is a fault of the service, not of the device', () => {
  const inMm = { ...item('closure-gap'), id: 'redness' } as const

  expect(() => fitVerdict(inMm, [50], RULES)).toThrow('no remedy for the fit check item redness')
})

test('more minutes of redness never make the verdict milder', () => {
  const minutes = fc.double({ min: 0, max: 600, noNaN: true })
  fc.assert(
    fc.property(minutes, minutes, (one, other) => {
      const rank = (value: number) => FIT_VERDICTS.indexOf(verdict('redness', value).verdict)

      expect(rank(Math.max(one, other))).toBeLessThanOrEqual(rank(Math.min(one, other)))
    }),
  )
})

test('no number throws', () => {
  fc.assert(
    fc.property(fc.double(), fc.constantFrom('closure-gap', 'redness'), (value, id) => {
      expect(FIT_VERDICTS).toContain(verdict(id, value).verdict)
    }),
  )
})

test('every verdict of every item is said in every voice', () => {
  const wordings = fitCheck(['left', 'right'], RULES).flatMap((one) => {
    const answered = one.answer === 'yes-no' ? [true, false] : [-4, 1, 21, 31, 90, Number.NaN]
    const verdicts = answered.map((value) => fitVerdict(one, [value], RULES).wording)
    const twice = fitVerdict(one, answered.slice(0, 2), RULES).wording
    return [...verdicts, twice, fitVerdict(one, [], RULES).wording]
  })

  expect(faultsInVoices(wordings)).toEqual([])
})
