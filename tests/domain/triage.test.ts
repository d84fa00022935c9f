import { expect, test } from 'vitest'
import { civilDate } from '../../src/domain/calendar.ts'
import type { MilestoneCheck } from '../../src/domain/child.ts'
import { GENERIC_SIZE_CHART } from '../../src/domain/tables/generic-size-chart.ts'
import { assessed, decided, explain, type Triage, triage } from '../../src/domain/triage.ts'
import { speaker } from '../../src/domain/messages/speaker.ts'
import { degrees, millimetres } from '../../src/domain/units.ts'
import { child, fact, foot } from '../helpers/child.ts'
import { RULES } from '../helpers/rules.ts'

const english = speaker('en')
const criterion = ({ suitability }: Triage, rule: string) => {
  const found = suitability.criteria.find((one) => one.rule === rule)
  if (found === undefined) throw new Error(`no criterion ${rule}`)
  return found
}

const AS_OF = civilDate('2026-06-15')
const UNDER = { rules: RULES, chart: GENERIC_SIZE_CHART }

const check = (milestone: MilestoneCheck['milestone'], attained: boolean, on: string) =>
  fact<MilestoneCheck>(
    { milestone, attained, reportedBy: 'professional' },
    on,
    `Observation/${milestone}-${on}/_history/1`,
  )

const PRONATED = foot({
  fpi: fact({ 1: 2, 2: 1, 3: 2, 4: 1, 5: 2, 6: 1 }),
  tiptoeArchAndHeelInversion: fact(true),
  ankleDorsiflexion: fact(degrees(15)),
  openSkin: fact(false),
  insensate: fact(false),
  ashworthCalf: fact('0' as const),
  measurements: {
    ...foot().measurements,
    'foot-length': [fact({ mm: millimetres(128), loading: 'loaded' as const })],
  },
})

/** Invented: sits, stands and walks late, low tone, both feet pronated and flexible. */
const WALKER = child({
  birthDate: fact(civilDate('2024-08-15')),
  tone: fact('low' as const),
  feet: { left: PRONATED, right: PRONATED },
  milestoneChecks: [
    check('sitting-without-support', true, '2025-06-01'),
    check('standing-with-assistance', true, '2025-11-01'),
    check('standing-alone', false, '2026-03-20'),
    check('walking-alone', false, '2026-03-20'),
    check('standing-alone', true, '2026-05-20'),
    check('walking-alone', true, '2026-05-20'),
  ],
})

test('a late walker with low tone and flexible, pronated feet is suitable', () => {
  const result = triage(WALKER, AS_OF, UNDER)

  expect(result.suitability.outcome).toBe('suitable')
  expect(result.ruleSet).toEqual({ id: 'footing-default', version: '2026.1' })
  expect(result.sizing.left.state).toBe('sized')
})

test('nothing known but the birth date: undetermined, never suitable and never unsuitable', () => {
  const result = triage(child(), AS_OF, UNDER)

  expect(result.suitability.outcome).toBe('undetermined')
  expect(result.tempo.state).toBe('not-estimable')
  expect(result.sizing.left.state).toBe('unknown')
  expect(result.urgency.high).toBeGreaterThan(result.urgency.low)
})

test('the same child, day, rules and chart give the same findings, byte for byte', () => {
  const once = JSON.stringify(triage(WALKER, AS_OF, UNDER))

  expect(JSON.stringify(triage(structuredClone(WALKER), AS_OF, UNDER))).toBe(once)
})

test('the order in which the record was read does not matter', () => {
  const { milestoneChecks } = WALKER
  const reversed = { ...WALKER, milestoneChecks: milestoneChecks.toReversed() }

  expect(triage(reversed, AS_OF, UNDER).suitability).toEqual(
    triage(WALKER, AS_OF, UNDER).suitability,
  )
  expect(triage(reversed, AS_OF, UNDER).urgency).toEqual(triage(WALKER, AS_OF, UNDER).urgency)
})

test('a milestone seen after the day is not known on that day', () => {
  const before = triage(WALKER, civilDate('2026-04-01'), UNDER)

  expect(before.milestones.walksAlone.holds).toBe('no')
  expect(before.suitability.outcome).not.toBe('suitable')
})

test('the urgency knows the suitability: a red flag of the suitability raises the priority', () => {
  const flagged = child({ redFlags: { ...child().redFlags, 'gowers-sign': fact(true) } })

  expect(triage(flagged, AS_OF, UNDER).urgency).toMatchObject({
    priority: 'urgent',
    raisedBy: ['gowers-sign'],
  })
})

test('while gestation is unknown the same child is supposed born early; recorded, it is not', () => {
  const recorded = { ...WALKER, gestationDays: fact(280) }

  expect(triage(WALKER, AS_OF, UNDER).ifPreterm?.ages.used).toBe('corrected')
  expect(triage(recorded, AS_OF, UNDER)).not.toHaveProperty('ifPreterm')
})

/** 72 months of 30.4375 days are 2,191.5 days: reached on day 2,192, the day after the sixth birthday. */
test('the explained triage is the same, with what would change it and the sizes of each foot', () => {
  const rightUnmeasured = { ...WALKER, feet: { left: PRONATED, right: foot() } }
  const found = triage(rightUnmeasured, AS_OF, UNDER)
  const told = explain(found, UNDER)
  const { counterfactuals: ways, sizesToCome, ...same } = told

  expect(same).toEqual(found)
  expect(ways.changes.length).toBeGreaterThan(0)
  expect(sizesToCome.right).toBe('unknown')
  expect(sizesToCome.left).toMatchObject({ until: '2030-08-16' })
})

test('a late walker is not known less once it walks, also after 24 months', () => {
  const born = fact(civilDate('2024-04-15'))
  const looks = [
    check('sitting-without-support', true, '2025-03-01'),
    check('standing-with-assistance', true, '2025-09-01'),
    check('walking-with-assistance', true, '2025-12-01'),
    check('hands-and-knees-crawling', true, '2025-08-01'),
    check('standing-alone', false, '2026-03-20'),
    check('walking-alone', false, '2026-03-20'),
  ]
  const walking = [
    check('standing-alone', true, '2026-06-10'),
    check('walking-alone', true, '2026-06-10'),
  ]
  const before = triage({ ...WALKER, birthDate: born, milestoneChecks: looks }, AS_OF, UNDER)
  const after = triage(
    { ...WALKER, birthDate: born, milestoneChecks: [...looks, ...walking] },
    AS_OF,
    UNDER,
  )

  expect(before.suitability.outcome).toBe('suitable-after-review')
  expect(after.tempo.state).toBe('not-estimable')
  expect(after.suitability.outcome).toBe('suitable')
  expect(english.therapist(criterion(after, 'functional-concern').because)).toContain(
    'That says how the child began, not how it moves today: look at it again.',
  )
  expect(after.urgency.contributions[0]?.points).toBeGreaterThan(10)
})

test('a skill that dated looks show as lost is concern enough, as one that is reported', () => {
  const lost = [...WALKER.milestoneChecks, check('walking-alone', false, '2026-06-14')]
  const shown = triage({ ...WALKER, milestoneChecks: lost }, AS_OF, UNDER)
  const told = triage(
    { ...WALKER, redFlags: { ...WALKER.redFlags, 'loss-of-skills': fact(true) } },
    AS_OF,
    UNDER,
  )

  expect([shown.suitability.outcome, told.suitability.outcome]).toEqual([
    'suitable-after-review',
    'suitable-after-review',
  ])
  expect(criterion(shown, 'functional-concern').holds).toBe('yes')
})

test('a test that finds no delay where the milestones do counts, and the disagreement is told', () => {
  const tested = { ...WALKER, standardised: fact({ kind: 'z-score', z: -0.1 } as const) }
  const told = triage(tested, AS_OF, UNDER).suitability.statements.map(english.therapist)
  const untested = triage(WALKER, AS_OF, UNDER).suitability.statements.map(english.therapist)
  const agreeing = { ...WALKER, standardised: fact({ kind: 'z-score', z: -2 } as const) }

  expect(told[0]).toMatch(
    /^The standardised test and the milestones disagree: the test gives no concern, the milestones do\. The test counts\./,
  )
  expect(
    [
      ...untested,
      ...triage(agreeing, AS_OF, UNDER).suitability.statements.map(english.therapist),
    ].join(),
  ).not.toContain('disagree')
})

test('of a child ahead of the others nobody says that a negative delay is unlikely', () => {
  const early = [
    check('sitting-without-support', true, '2024-11-15'),
    check('standing-with-assistance', true, '2024-12-15'),
  ]
  const ahead = triage({ ...WALKER, milestoneChecks: early }, AS_OF, UNDER)

  expect(ahead.tempo).toMatchObject({ state: 'not-estimable', reason: 'ceiling' })
  expect(english.family(ahead.tempo.finding.because)).not.toMatch(/-\d/)
  expect(english.therapist(ahead.tempo.finding.because)).toMatch(/^At least typical/)
})

test('asked for a day before the referral came, nobody has waited yet', () => {
  const early = triage(WALKER, civilDate('2026-02-20'), UNDER).urgency.contributions.at(-1)

  expect([early?.id, early?.points]).toEqual(['waiting', 0])
  expect(early === undefined ? '' : english.family(early.because)).toBe(
    'We count the waiting from the day your child’s referral came.',
  )
})

test('the sizes to come are not counted for a child beyond the ages of the clinic', () => {
  const born = (date: string) => ({ ...WALKER, birthDate: fact(civilDate(date)) })
  const to = (child: typeof WALKER) => explain(triage(child, AS_OF, UNDER), UNDER).sizesToCome.left

  expect(to(WALKER)).not.toBe('unknown')
  expect(to(born('2019-06-01'))).toBe('unknown')
})

test('an assessment is shared by rule sets that decide differently from it', () => {
  const other = {
    ...RULES,
    urgency: { ...RULES.urgency, urgentFrom: 5 },
    sizing: { ...RULES.sizing, growthReserveMm: 9 },
  }
  const under = { rules: other, chart: GENERIC_SIZE_CHART }
  const asOf = civilDate('2026-03-02')
  const { age, milestones, posture } = RULES

  const found = assessed(child(), asOf, { age, milestones, posture })

  expect(decided(found, under)).toEqual(triage(child(), asOf, under))
})
