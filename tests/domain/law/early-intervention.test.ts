import { describe, expect, test } from 'vitest'
import { civilDate } from '../../../src/domain/calendar.ts'
import type { Child } from '../../../src/domain/child.ts'
import {
  earlyIntervention,
  type ProgrammeFacts,
} from '../../../src/domain/law/early-intervention.ts'
import { GENERIC_SIZE_CHART } from '../../../src/domain/tables/generic-size-chart.ts'
import { triage } from '../../../src/domain/triage.ts'
import { child, fact } from '../../helpers/child.ts'
import { faultsInVoices } from '../../helpers/every-voice.ts'
import { on, printed } from '../../helpers/law-dates.ts'
import { RULES } from '../../helpers/rules.ts'

const BORN = '2024-09-01'

const programme = (known: Partial<ProgrammeFacts> = {}): ProgrammeFacts => ({
  state: 'unknown',
  identifiedOn: 'unknown',
  firstConcernOn: 'unknown',
  referredOn: 'unknown',
  receivedOn: 'unknown',
  determination: 'unknown',
  planOn: 'unknown',
  inspectionAskedOn: 'unknown',
  ...known,
})

function answer(known: Partial<ProgrammeFacts>, day = '2026-03-01', of: Partial<Child> = {}) {
  const born = child({ birthDate: on(BORN), ...of })
  const under = { rules: RULES, chart: GENERIC_SIZE_CHART }
  return earlyIntervention(triage(born, civilDate(day), under), programme(known), RULES)
}
const iowa = { state: fact('IA') }

describe('whether the law is asked at all', () => {
  test('nothing is said where no state and no date of the programme is on record', () => {
    expect(answer({})).toBeUndefined()
    expect(answer({ firstConcernOn: on('2026-02-01') })).toBeUndefined()
  })

  test('a state is enough until the day before the third birthday', () => {
    expect(answer(iowa, '2027-08-31')?.threshold).toMatchObject({ state: 'IA' })
    expect(answer(iowa, '2027-09-01')).toBeUndefined()
  })

  test.each(['identifiedOn', 'referredOn', 'receivedOn', 'planOn'] as const)(
    'a day of %s is enough at any age, without a threshold',
    (name) => {
      const found = answer({ [name]: on('2026-02-01') }, '2028-03-01')

      expect(found?.deadlines.findings).toHaveLength(9)
      expect(found).not.toHaveProperty('threshold')
    },
  )

  test('a wish to inspect the record is one too, and adds the day by which it is answered', () => {
    const found = answer({ inspectionAskedOn: on('2026-02-01') }, '2028-03-01')

    expect(found?.deadlines.findings.at(-1)).toMatchObject({ rule: 'records.inspection-due' })
    expect(found?.deadlines.findings).toHaveLength(10)
  })

  test('a determination that has not been made is a date of the programme too', () => {
    expect(answer({ determination: fact('not-yet') })).toBeDefined()
  })
})

test('with dates but without a state there is no threshold, at any age', () => {
  expect(answer({ referredOn: on('2026-02-01') })).not.toHaveProperty('threshold')
})

describe('the dates', () => {
  test('the day of identification on record goes before the first concern', () => {
    const due = (known: Partial<ProgrammeFacts>) => {
      const found = answer({ ...iowa, firstConcernOn: on('2026-02-10'), ...known })
      return found === undefined ? undefined : printed(found.deadlines.referralDue)
    }

    // 34 CFR 303.303(a)(2)(i): seven calendar days.
    expect(due({})).toBe('2026-02-17 Tue')
    expect(due({ identifiedOn: on('2026-02-02') })).toBe('2026-02-09 Mon')
    expect(due({ firstConcernOn: 'unknown' })).toBe('unknown')
  })

  test('the clock starts with the receipt of the programme; exceptions stay unknown', () => {
    const { clock } = answer({ receivedOn: on('2026-02-02') })?.deadlines ?? {}

    // 34 CFR 303.310(a): 45 calendar days.
    expect(clock?.due).toMatchObject({ on: '2026-03-19' })
    expect(clock?.tolled.holds).toBe('unknown')
  })

  test('the referral to us starts no clock and gives no class', () => {
    const { clock, lateReferral } = answer(iowa)?.deadlines ?? {}

    expect([clock?.due.holds, lateReferral?.class]).toEqual(['unknown', 'unknown'])
  })
})

describe('the threshold', () => {
  const result = (percent: number): Partial<Child> => ({
    standardised: fact({ kind: 'percent-delay', percent }),
  })

  test('a result as given decides', () => {
    // Iowa 281-120.21: 25 %.
    const holds = [24.9, 25].map((one) => answer(iowa, '2026-03-01', result(one))?.threshold?.holds)

    expect(holds).toEqual(['no', 'yes'])
  })

  test('without one the estimate from milestones does, with its probability', () => {
    const look = (milestone: 'standing-alone' | 'walking-alone') =>
      fact({ milestone, attained: false, reportedBy: 'professional' } as const)
    const late = { milestoneChecks: [look('standing-alone'), look('walking-alone')] }
    const found = answer(iowa, '2026-03-01', late)?.threshold

    expect(found?.criteria[0]?.probability).toBeGreaterThan(0)
    expect(found?.holds).not.toBe('unknown')
  })

  test('with neither it is unknown', () => {
    expect(answer(iowa)?.threshold?.holds).toBe('unknown')
  })
})

test('all of it can be said in every voice', () => {
  const found = answer({ ...iowa, referredOn: on('2026-02-01'), receivedOn: on('2026-02-02') })
  const findings = [
    ...(found?.deadlines.findings ?? []),
    ...(found?.threshold ? [found.threshold] : []),
  ]

  expect(findings).toHaveLength(10)
  expect(faultsInVoices(findings.map(({ because }) => because))).toEqual([])
})
