import { readFileSync } from 'node:fs'
import { expect, test } from 'vitest'
import { z } from 'zod'
import { REFERRAL_STATES } from '../../src/domain/referral/referral-states.ts'
import { businessStatusOf, stateOfTask } from '../../src/fhir/referral-task.ts'

// What a system that knows the open guide for referrals (BSeR) reads of a step: the business status of each of the
// 34 rows, typed from its table of transitions into tests/cases/referral-guide-transitions.json.

const SYSTEM = 'http://hl7.org/fhir/us/bser/CodeSystem/TaskBusinessStatusCS'
const State = z.enum(REFERRAL_STATES)
const { rows } = z
  .object({
    rows: z.array(
      z.object({
        row: z.number(),
        event: z.string(),
        fromBusiness: z.string().nullable(),
        toBusiness: z.string(),
        ours: z.object({ from: State, to: State }),
      }),
    ),
  })
  .parse(
    JSON.parse(
      readFileSync(new URL('../cases/referral-guide-transitions.json', import.meta.url), 'utf8'),
    ),
  )

const codeOf = (state: z.infer<typeof State>) =>
  businessStatusOf(state).coding?.find(({ system }) => system === SYSTEM)?.code

/** Cancelled at once, as nothing has begun: 6.0 where the guide first asks (5.2) and then confirms (6.0). */
const AT_ONCE = new Set([4, 7])
/** 5.1 is in no code system of the guide; what it stands for is said by a code below it. */
const below = (told: string | undefined, wanted: string) =>
  wanted === '5.1' ? told?.startsWith('5.1.') : told === wanted

test.each(rows)('row $row, $event: the Task says $toBusiness after it', (row) => {
  const wanted = AT_ONCE.has(row.row) ? '6.0' : row.toBusiness

  expect(below(codeOf(row.ours.to), wanted), codeOf(row.ours.to)).toBe(true)
  if (row.fromBusiness !== null)
    expect(below(codeOf(row.ours.from), row.fromBusiness), codeOf(row.ours.from)).toBe(true)
})

test.each([
  ['received', '2.0', 'in-triage'],
  ['accepted', '3.0', 'accepted'],
  ['rejected', '4.0', 'rejected'],
  ['failed', '4.0', 'failed'],
  ['in-progress', '5.1.1', 'scheduled'],
  ['in-progress', '5.1.2', 'missed'],
  ['in-progress', '5.1.3', 'visit-cancelled'],
  ['in-progress', '5.1.4', 'visit-done'],
  ['in-progress', '5.2', 'cancellation-requested'],
  ['cancelled', '6.0', 'cancelled'],
  ['completed', '7.0', 'completed'],
] as const)('a Task that is %s and says %s is read as %s', (status, code, state) => {
  const task = { resourceType: 'Task', status, intent: 'order' } as const

  expect(stateOfTask({ ...task, businessStatus: { coding: [{ system: SYSTEM, code }] } })).toBe(
    state,
  )
})
