import { expect, test } from 'vitest'
import { addDays } from '../../../src/domain/calendar.ts'
import { type Milestone, MILESTONES } from '../../../src/domain/child.ts'
import { evidenceRef } from '../../../src/domain/facts.ts'
import { fitCheck } from '../../../src/domain/plan/fit-check.ts'
import { fitCheckResult } from '../../../src/domain/follow-up/fit-check-result.ts'
import { type FollowUpVisit, followUp } from '../../../src/domain/follow-up/follow-up.ts'
import { milestones } from '../../../src/domain/development/milestones.ts'
import { FOLLOW_UP_OUTCOMES } from '../../../src/domain/follow-up/follow-up-outcome.ts'
import { say } from '../../../src/domain/messages/message.ts'
import { speaker } from '../../../src/domain/messages/speaker.ts'
import { faultsInVoices } from '../../helpers/every-voice.ts'
import { visit as looks } from '../../helpers/checks.ts'
import { child } from '../../helpers/child.ts'
import { answers } from '../../helpers/fit-answers.ts'
import { agesAt, AS_OF, measuredFoot, THREE_SIZES } from '../../helpers/plans.ts'
import { RULES } from '../../helpers/rules.ts'
import { DELIVERED, sign, worn } from '../../helpers/visits.ts'

const en = speaker('en')

const CRAWLS: readonly Milestone[] = MILESTONES.slice(0, 3)
/** Born 2024-09-01: the visit is on day 546, the delivery 84 days before on day 462. */
const AT_DELIVERY = looks(462, CRAWLS)
const items = fitCheck(['left'], RULES)
const FIT = fitCheckResult(items, answers(items), RULES)

const of = (
  known: Partial<FollowUpVisit> = {},
  checks = [...AT_DELIVERY, ...looks(546, MILESTONES)],
) => {
  const own = measuredFoot({ 'foot-length': 123 })
  const one = child({ milestoneChecks: checks, feet: { left: own, right: own } })
  return followUp(
    {
      child: one,
      asOf: AS_OF,
      ages: agesAt(17.9),
      milestones: milestones(one, AS_OF, RULES),
      deliveredOn: DELIVERED,
      devices: [worn()],
      wearMinutes: { value: 360, on: AS_OF, evidence: evidenceRef('Observation/wear/_history/1') },
      fitCheck: FIT,
      ...known,
    },
    { rules: RULES, chart: THREE_SIZES },
  )
}

test('a child who has begun to walk with a device that fits: continue', () => {
  const found = of()

  expect(found).toMatchObject({ outcome: 'continue', weeks: 12 })
  expect(
    found.since.milestones.filter(({ state }) => state === 'new').map(({ what }) => what),
  ).toEqual(MILESTONES.slice(3))
  expect(found.change).toMatchObject({ state: 'estimated' })
  expect(found.stalled.holds).toBe('no')
})

test('nothing new after 12 weeks: review; a day earlier not yet', () => {
  const still = [...AT_DELIVERY, ...looks(546, CRAWLS)]
  const later = { deliveredOn: addDays(DELIVERED, 1) }

  expect(of({}, still)).toMatchObject({ outcome: 'review', stalled: { holds: 'yes' } })
  expect(of(later, [...looks(463, CRAWLS), ...looks(546, CRAWLS)])).toMatchObject({
    outcome: 'continue',
    stalled: { holds: 'no' },
  })
})

test('a foot that has reached the end of its size: the next size', () => {
  const own = measuredFoot({ 'foot-length': 128 })
  const feet = { left: own, right: own }
  const found = of({
    child: child({ milestoneChecks: [...AT_DELIVERY, ...looks(546, MILESTONES)], feet }),
  })

  expect(found.outcome).toBe('new-size')
  expect(found.outgrown.map(({ side, proposal }) => [side, proposal?.size?.code])).toEqual([
    ['left', 'C'],
  ])
})

test('a blister outranks the outgrown size', () => {
  const found = of({ devices: [worn({ blister: sign(true), 'toes-at-front-edge': sign(true) })] })

  expect(found.outcome).toBe('stop')
  expect(found.outgrown[0]?.finding.holds).toBe('yes')
})

test('a milestone lost since the delivery: stop, and no pace is given', () => {
  const lost = [...looks(462, MILESTONES), ...looks(546, CRAWLS)]

  expect(of({}, lost)).toMatchObject({
    outcome: 'stop',
    lost: { holds: 'yes' },
    change: { state: 'not-estimable', reason: 'regression' },
  })
})

test('each device is looked at by itself', () => {
  const found = of({ devices: [worn(), worn({ pain: sign(true) }, { side: 'right' })] })

  expect(found.stopSigns.map(({ rule, holds }) => [rule, holds])).toEqual([
    ['stop-sign.left', 'no'],
    ['stop-sign.right', 'yes'],
  ])
  expect(found.outgrown.map(({ side }) => side)).toEqual(['left', 'right'])
})

const UNKNOWN = [
  ['no fit check', { fitCheck: 'unknown' }],
  ['no wear time', { wearMinutes: 'unknown' }],
  ['no device on record', { devices: [] }],
  ['a stop sign not looked for', { devices: [worn({ rash: 'unknown' })] }],
  ['a size not on record', { devices: [worn({}, { size: 'unknown' })] }],
] as const satisfies readonly (readonly [string, Partial<FollowUpVisit>])[]

for (const [name, known] of UNKNOWN)
  test(`with ${name} the visit is not known to be fine`, () => {
    expect(of(known).outcome).toBe('unknown')
  })

test('without a look at the milestones at the visit it is not known whether something was gained', () => {
  expect(of({}, AT_DELIVERY)).toMatchObject({ outcome: 'unknown', stalled: { holds: 'unknown' } })
  expect(of({}, [])).toMatchObject({ outcome: 'unknown', lost: { holds: 'unknown' } })
})

test('on the day of delivery there is nothing to compare yet', () => {
  const found = of({ deliveredOn: AS_OF })

  expect(found).toMatchObject({ weeks: 0, change: { state: 'not-estimable' } })
  expect(en.therapist(found.stalled.because)).toContain('asked from 12 weeks on')
})

test('the outcome is said, and says what to do', () => {
  const said = (known: Partial<FollowUpVisit>) => en.family(of(known).because)

  expect(said({})).toMatch(/is fine. Please go on as before/)
  expect(said({ devices: [worn({ pain: sign(true) })] })).toBe(
    'Please leave the supports off and call us.',
  )
  expect(said({ wearMinutes: 'unknown' })).toMatch(/have not looked at everything yet/)
})

test('every outcome is said in every voice', () => {
  const causes = (['no-gain', 'redness', 'wear'] as const).map((one) => say(`part.review-${one}`))
  const messages = FOLLOW_UP_OUTCOMES.map((outcome) => say(`follow-up.${outcome}`, { causes }))

  expect(faultsInVoices(messages)).toEqual([])
})

test('a visit before the delivery is refused', () => {
  const early = () => of({ deliveredOn: addDays(AS_OF, 1) })

  expect(early).toThrow(expect.objectContaining({ kind: 'business-rule' }))
  expect(early).toThrow('the follow-up visit lies before the delivery')
})

test('whoever has to act is told in every voice', () => {
  const found = of(
    {
      devices: [worn({ pain: sign(true), 'marks-in-new-place': sign(true) })],
      wearMinutes: 'unknown',
    },
    [...AT_DELIVERY, ...looks(546, CRAWLS)],
  )
  const findings = [
    ...found.stopSigns,
    ...found.outgrown.map(({ finding }) => finding),
    found.stalled,
    found.wear,
  ]

  const wordings = findings.flatMap(({ wording }) => wording ?? [])
  expect(wordings).toHaveLength(findings.length)
  expect(faultsInVoices([...wordings, found.because])).toEqual([])
  for (const family of wordings.map(en.family))
    expect(family).not.toMatch(/metatarsal|posterior|orthosis/i)
})

test('the same visit gives the same answer', () => {
  expect(of()).toEqual(of())
})
