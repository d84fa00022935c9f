import { readFileSync } from 'node:fs'
import { assert, boolean, constantFrom, pre, property } from 'fast-check'
import { describe, expect, test } from 'vitest'
import { z } from 'zod'
import {
  type Actor,
  ACTORS,
  REFERRAL_STATES,
  type ReferralState,
} from '../../../src/domain/referral/referral-states.ts'
import {
  AWAITS_CLINIC,
  isEndState,
  isLoopClosed,
  isTaskStatus,
  stateAfterTriage,
  statesOfTask,
  type Transition,
  transitionDecision,
} from '../../../src/domain/referral/transition.ts'

const VISITS = ['scheduled', 'missed', 'visit-cancelled', 'visit-done'] as const

/**
 * Every step and who takes it, typed from the table of states that fits R4 Task and the open guides for
 * referrals (BSeR), social care and order workflow: `from > to: who`. `+` is by a second Task.
 */
const ALLOWED = new Set([
  'drafted > sent: referrer',
  'sent > in-triage: clinic',
  'sent > cancelled: referrer',
  'in-triage > awaiting-information: clinic',
  'in-triage > accepted: clinic',
  'in-triage > rejected: clinic',
  'in-triage > cancelled: referrer',
  'awaiting-information > in-triage: referrer',
  'awaiting-information > in-triage: clinic',
  'awaiting-information > rejected: clinic',
  'awaiting-information > cancelled: referrer',
  'accepted > scheduled: clinic',
  'accepted > rejected: clinic',
  'accepted > cancelled: referrer',
  ...VISITS.flatMap((from) => [
    ...VISITS.filter((to) => to !== from).map((to) => `${from} > ${to}: clinic`),
    `${from} > on-hold: clinic`,
    `${from} > completed: clinic`,
    `${from} > failed: clinic`,
    `${from} > cancellation-requested: referrer+`,
  ]),
  'on-hold > scheduled: clinic',
  'on-hold > failed: clinic',
  'on-hold > cancellation-requested: referrer+',
  'cancellation-requested > cancelled: clinic',
  'cancellation-requested > completed: clinic',
  ...[...VISITS, 'on-hold'].flatMap((to) => [
    `cancellation-requested > ${to}: clinic`,
    `cancellation-requested > ${to}: referrer`,
  ]),
  'completed > loop-closed: exchange',
  'loop-closed > completed: exchange',
  ...REFERRAL_STATES.filter((from) => from !== 'entered-in-error').map(
    (from) => `${from} > entered-in-error: author`,
  ),
])

const asked = (more: Partial<Transition>): Transition => ({
  from: 'sent',
  to: 'in-triage',
  by: ['clinic'],
  bySecondTask: false,
  hasReason: true,
  replies: 1,
  ...more,
})

const EVERY = REFERRAL_STATES.flatMap((from) =>
  REFERRAL_STATES.filter((to) => to !== from).flatMap((to) =>
    ACTORS.flatMap((actor) =>
      [false, true].map((bySecondTask) => ({ from, to, by: [actor], bySecondTask })),
    ),
  ),
)
const nameOf = ({ from, to, by, bySecondTask }: (typeof EVERY)[number]) =>
  `${from} > ${to}: ${by.join()}${bySecondTask ? '+' : ''}`

test.each(REFERRAL_STATES)(
  'from %s a referral goes just where the table says, by whom it says',
  (from) => {
    const walked = EVERY.filter((one) => one.from === from)
    const allowed = walked.filter((one) => transitionDecision(asked(one)).allowed).map(nameOf)
    const expected = walked.map(nameOf).filter((name) => ALLOWED.has(name))

    expect(allowed).toEqual(expected)
    expect(walked.length).toBe(16 * 4 * 2)
  },
)

test('every step of the table is walked', () => {
  const names = new Set(EVERY.map(nameOf))

  expect([...ALLOWED].filter((name) => !names.has(name))).toEqual([])
})

test('whoever is several takes the steps of each', () => {
  const by: readonly Actor[] = ['clinic', 'referrer', 'author']

  expect(transitionDecision(asked({ to: 'cancelled', by })).allowed).toBe(true)
  expect(transitionDecision(asked({ to: 'in-triage', by })).allowed).toBe(true)
  expect(transitionDecision(asked({ to: 'entered-in-error', by })).allowed).toBe(true)
})

describe('the answer to what is forbidden says why and what could be done instead', () => {
  test('a step that nobody takes', () => {
    expect(transitionDecision(asked({ to: 'completed' }))).toEqual({
      allowed: false,
      because: 'no-such-step',
      next: [{ to: 'in-triage', by: ['clinic'] }],
    })
  })

  test('a step of somebody else', () => {
    expect(transitionDecision(asked({ to: 'in-triage', by: ['referrer'] }))).toMatchObject({
      because: 'not-theirs',
      next: [{ to: 'cancelled' }],
    })
  })

  test('what is asked for by a Task of its own, asked for directly', () => {
    const direct = asked({ from: 'scheduled', to: 'cancellation-requested', by: ['referrer'] })

    expect(transitionDecision(direct)).toMatchObject({ because: 'by-second-task' })
  })
})

test.each(['rejected', 'cancelled', 'failed', 'on-hold'] as const)(
  '%s needs a reason, as a step and for as long as it lasts',
  (to) => {
    const from = {
      rejected: 'in-triage',
      cancelled: 'in-triage',
      failed: 'missed',
      'on-hold': 'missed',
    }[to] as ReferralState
    const by: readonly Actor[] = ['clinic', 'referrer']
    const decided = (hasReason: boolean, since = from) =>
      transitionDecision(asked({ from: since, to, by, hasReason }))

    expect(decided(true)).toEqual({ allowed: true })
    expect(decided(false)).toMatchObject({ allowed: false, because: 'reason' })
    expect(decided(false, to)).toMatchObject({ allowed: false, because: 'reason' })
  },
)

test('completed needs a reply to the referrer (SDOH Clinical Care: at least one output of the performer)', () => {
  const decided = (replies: number) =>
    transitionDecision(asked({ from: 'visit-done', to: 'completed', replies }))

  expect(decided(0)).toMatchObject({ allowed: false, because: 'reply' })
  expect(decided(1)).toEqual({ allowed: true })
})

test('no other state asks for a reason or a reply', () => {
  const demanding = ['rejected', 'cancelled', 'failed', 'on-hold', 'completed', 'loop-closed']
  const others = REFERRAL_STATES.filter((state) => !demanding.includes(state))

  for (const state of others)
    expect(
      transitionDecision(asked({ from: state, to: state, hasReason: false, replies: 0 })),
    ).toEqual({ allowed: true })
})

test('whatever is asked, an ended referral is never open again', () => {
  const anyState = constantFrom(...REFERRAL_STATES)
  assert(
    property(anyState, anyState, constantFrom(...ACTORS), boolean(), (from, to, by, second) => {
      pre(isEndState(from))
      const decision = transitionDecision(asked({ from, to, by: [by], bySecondTask: second }))

      expect(decision.allowed && !isEndState(to)).toBe(false)
    }),
  )
})

test('a status of a Task says in which states the referral may be', () => {
  expect(statesOfTask('requested')).toEqual(['sent'])
  expect(statesOfTask('received')).toEqual(['in-triage', 'awaiting-information'])
  expect(statesOfTask('in-progress')).toEqual([...VISITS, 'cancellation-requested'])
  expect(statesOfTask('completed')).toEqual(['completed', 'loop-closed'])
  expect(statesOfTask('ready')).toEqual([])
  expect([isTaskStatus('on-hold'), isTaskStatus('ready')]).toEqual([true, false])
})

test('what ends: completed, rejected, failed, cancelled, in error', () => {
  expect(REFERRAL_STATES.filter(isEndState)).toEqual([
    'completed',
    'loop-closed',
    'rejected',
    'failed',
    'cancelled',
    'entered-in-error',
  ])
})

test('the clinic is awaited where it has a step to take and no day is set', () => {
  for (const state of AWAITS_CLINIC)
    expect(REFERRAL_STATES.some((to) => ALLOWED.has(`${state} > ${to}: clinic`))).toBe(true)
  for (const state of [
    'drafted',
    'awaiting-information',
    'scheduled',
    'on-hold',
    'completed',
  ] as const)
    expect(AWAITS_CLINIC).not.toContain(state)
})

test('a referral that is computed is in triage, or waits for information', () => {
  for (const state of ['sent', 'in-triage', 'awaiting-information'] as const) {
    expect(stateAfterTriage(state, true)).toBe('awaiting-information')
    expect(stateAfterTriage(state, false)).toBe('in-triage')
  }
})

test('what a person has taken further is not moved by a computation', () => {
  for (const state of ['drafted', 'accepted', 'scheduled', 'on-hold', 'completed'] as const)
    for (const undetermined of [true, false])
      expect(stateAfterTriage(state, undetermined)).toBe(state)
})

test('the loop is closed only when the reply to a completed referral was opened', () => {
  const opened = ['2026-11-26T08:00:00Z']

  expect(isLoopClosed('completed', opened)).toBe(true)
  expect(isLoopClosed('completed', [])).toBe(false)
  expect(isLoopClosed('visit-done', opened)).toBe(false)
  expect(isLoopClosed('rejected', opened)).toBe(false)
  expect(isLoopClosed('loop-closed', [])).toBe(true)
})

const State = z.enum(REFERRAL_STATES)
const Rows = z.object({
  rows: z.array(
    z.object({
      row: z.number(),
      actor: z.enum(['initiator', 'recipient']),
      event: z.string(),
      ours: z.object({
        from: State,
        to: State,
        way: z.enum(['step', 'through', 'instead']),
        through: State.optional(),
      }),
    }),
  ),
})
const { rows } = Rows.parse(
  JSON.parse(
    readFileSync(new URL('../../cases/referral-guide-transitions.json', import.meta.url), 'utf8'),
  ),
)

test('the guide has 34 rows', () => {
  expect(rows.map(({ row }) => row)).toEqual(Array.from({ length: 34 }, (_one, index) => index + 1))
})

test.each(rows)(
  'row $row of the guide, $event: a referral here goes $ours.from to $ours.to',
  (row) => {
    const { from, to, through } = row.ours
    const by: readonly Actor[] = [row.actor === 'initiator' ? 'referrer' : 'clinic']
    const places = [from, ...(through === undefined ? [] : [through]), to]
    const steps = places.slice(1).map((place, index) =>
      transitionDecision(
        asked({
          from: places[index] ?? from,
          to: place,
          by,
          bySecondTask: place === 'cancellation-requested',
        }),
      ),
    )

    expect(steps).toEqual(steps.map(() => ({ allowed: true })))
  },
)
