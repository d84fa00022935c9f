import { expect, test } from 'vitest'
import { civilDate } from '../../src/domain/calendar.ts'
import type { MilestoneCheck } from '../../src/domain/child.ts'
import { GENERIC_SIZE_CHART } from '../../src/domain/tables/generic-size-chart.ts'
import { explain, triage } from '../../src/domain/triage.ts'
import { degrees, millimetres } from '../../src/domain/units.ts'
import { child, fact, foot } from '../helpers/child.ts'
import { RULES } from '../helpers/rules.ts'

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
