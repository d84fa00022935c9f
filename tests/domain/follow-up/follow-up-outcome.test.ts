import { expect, test } from 'vitest'
import { fitCheck } from '../../../src/domain/plan/fit-check.ts'
import { fitCheckResult } from '../../../src/domain/follow-up/fit-check-result.ts'
import type { VisitFindings } from '../../../src/domain/follow-up/follow-up.ts'
import {
  FOLLOW_UP_OUTCOMES,
  followUpOutcome,
} from '../../../src/domain/follow-up/follow-up-outcome.ts'
import type { Truth } from '../../../src/domain/truth.ts'
import { answers } from '../../helpers/fit-answers.ts'
import { finding } from '../../helpers/plans.ts'
import { RULES } from '../../helpers/rules.ts'
import { changed, sinceWith } from '../../helpers/visits.ts'

const items = fitCheck(['left'], RULES)
const fit = (but: Parameters<typeof answers>[1] = {}) =>
  fitCheckResult(items, answers(items, but), RULES)
const grown = (holds: Truth) =>
  [{ side: 'left', finding: finding('outgrown.left', holds) }] as const
const stop = (holds: Truth) => [finding('stop-sign.left', holds)]

const FINE: VisitFindings = {
  weeks: 12,
  stopSigns: stop('no'),
  lost: finding('lost-since-fitting', 'no'),
  fitCheck: fit(),
  outgrown: grown('no'),
  since: sinceWith(),
  change: changed(0.9),
  stalled: finding('stalled-since-fitting', 'no'),
  wear: finding('wear-as-scheduled', 'yes'),
}
const of = (known: Partial<VisitFindings> = {}) => followUpOutcome({ ...FINE, ...known })

test('all known and fine: continue', () => {
  expect(of()).toBe('continue')
})

const CAUSES = [
  ['stop', { stopSigns: stop('yes') }],
  ['stop', { lost: finding('lost-since-fitting', 'yes') }],
  ['stop', { fitCheck: fit({ redness: 31 }) }],
  ['new-size', { outgrown: grown('yes') }],
  ['adjust', { fitCheck: fit({ 'closure-gap': 6 }) }],
  ['review', { stalled: finding('stalled-since-fitting', 'yes') }],
  ['review', { fitCheck: fit({ redness: 21 }) }],
  ['review', { wear: finding('wear-as-scheduled', 'no') }],
  ['unknown', { stopSigns: stop('unknown') }],
  ['unknown', { lost: finding('lost-since-fitting', 'unknown') }],
  ['unknown', { fitCheck: 'unknown' }],
  ['unknown', { fitCheck: fit({ redness: 'unknown' }) }],
  ['unknown', { outgrown: grown('unknown') }],
  ['unknown', { outgrown: [], stopSigns: [] }],
  ['unknown', { stalled: finding('stalled-since-fitting', 'unknown') }],
  ['unknown', { wear: finding('wear-as-scheduled', 'unknown') }],
] as const satisfies readonly (readonly [string, Partial<VisitFindings>])[]

for (const [outcome, known] of CAUSES)
  test(`${Object.keys(known).join(' and ')} alone can lead to ${outcome}`, () => {
    expect(of(known)).toBe(outcome)
  })

test('of two findings the weightier decides', () => {
  for (const [one, cause] of CAUSES)
    for (const [other, more] of CAUSES) {
      if (Object.keys(cause).some((key) => key in more)) continue
      const heavier = Math.min(FOLLOW_UP_OUTCOMES.indexOf(one), FOLLOW_UP_OUTCOMES.indexOf(other))

      expect(of({ ...cause, ...more })).toBe(FOLLOW_UP_OUTCOMES[heavier])
    }
})
