import { expect, test } from 'vitest'
import type { FollowUpResult } from '../../../src/domain/follow-up/follow-up.ts'
import { fitCheckResult } from '../../../src/domain/follow-up/fit-check-result.ts'
import { visitReport } from '../../../src/domain/follow-up/visit-report.ts'
import { say, together } from '../../../src/domain/messages/message.ts'
import { speaker } from '../../../src/domain/messages/speaker.ts'
import { fitCheck } from '../../../src/domain/plan/fit-check.ts'
import { answers } from '../../helpers/fit-answers.ts'
import { finding } from '../../helpers/plans.ts'
import { RULES } from '../../helpers/rules.ts'
import { NO_CHANGE, sinceWith } from '../../helpers/visits.ts'

const items = fitCheck(['left'], RULES)
const FIT = fitCheckResult(items, answers(items), RULES)

const of = (known: Partial<FollowUpResult> = {}) =>
  visitReport({
    weeks: 4,
    stopSigns: [],
    lost: finding('lost-since-fitting', 'no'),
    fitCheck: FIT,
    outgrown: [],
    since: sinceWith(),
    change: NO_CHANGE,
    stalled: finding('stalled-since-fitting', 'no'),
    wear: finding('wear-as-scheduled', 'yes'),
    outcome: 'continue',
    because: say('follow-up.continue'),
    ...known,
  })
const said = (known: Partial<FollowUpResult> = {}) => speaker('en').therapist(together(of(known)))

test('a visit at which all is fine says so and nothing else', () => {
  expect(said()).toBe(
    'Continue: all was looked at and is as it should be. Every item is within its tolerance.',
  )
})

test('a fit check that nobody answered is not told', () => {
  expect(of({ fitCheck: 'unknown' })).toHaveLength(1)
})

test('what is new since the fitting is told', () => {
  expect(said({ since: sinceWith({ 'walking-alone': 'new' }) })).toContain(
    'Began after the fitting: walking alone.',
  )
})

test('what was lost, and what is unknown, is told only where it is known', () => {
  const lost = {
    ...finding('lost-since-fitting', 'yes'),
    because: say('lost-since-fitting.loss-of-skills'),
  }

  expect(said({ lost })).toContain('Loss of skills recorded since the fitting.')
  expect(of({ lost: finding('lost-since-fitting', 'unknown') })).toHaveLength(2)
})

test('a child who gained nothing is to be reviewed', () => {
  const stalled = {
    ...finding('stalled-since-fitting', 'yes'),
    wording: say('stalled-since-fitting.review'),
  }

  expect(said({ stalled })).toContain(
    'Review fit, wear time and whether the device is still wanted',
  )
})

test('the same visit is told in the same words a week later', () => {
  expect(said({ weeks: 5 })).toBe(said({ weeks: 4 }))
})
