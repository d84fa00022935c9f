import type { Ages } from '../../src/domain/development/age.ts'
import { civilDate } from '../../src/domain/calendar.ts'
import type { Dimension, Measurement, Side } from '../../src/domain/child.ts'
import type { FootDimensions } from '../../src/domain/device/dimensions.ts'
import { evidenceRef, type Fact } from '../../src/domain/facts.ts'
import type { PlanFacts } from '../../src/domain/plan/fitting.ts'
import type { FootMeasure } from '../../src/domain/device/growth.ts'
import { say } from '../../src/domain/messages/message.ts'
import type { Milestones } from '../../src/domain/development/milestones.ts'
import type { FootPosture, Posture } from '../../src/domain/foot/posture.ts'
import {
  type DeviceSize,
  type FootSizing,
  type SizeChart,
  sizing,
} from '../../src/domain/device/sizing.ts'
import type { Suitability } from '../../src/domain/decision/suitability.ts'
import { GENERIC_SIZE_CHART } from '../../src/domain/tables/generic-size-chart.ts'
import type { Tempo } from '../../src/domain/development/tempo.ts'
import type { Finding, Truth } from '../../src/domain/truth.ts'
import { millimetres, months } from '../../src/domain/units.ts'
import { child, foot } from './child.ts'
import { RULES } from './rules.ts'

/** The invented child of the helpers is 546 days old on this day. */
export const AS_OF = civilDate('2026-03-01')

export const agesAt = (age: number): Ages => ({
  chronologicalDays: Math.round(age * 30.4375),
  chronologicalMonths: months(age),
  completedMonths: Math.floor(age),
  used: 'chronological',
  months: months(age),
  correctUntilMonths: months(36),
  findings: [],
})

type Loading = Measurement['loading']

export const taken = (
  mm: number,
  on: string = AS_OF,
  loading: Loading = 'loaded',
): Fact<Measurement> => ({
  value: { mm: millimetres(mm), loading },
  on: civilDate(on),
  evidence: evidenceRef(`Observation/${on}-${mm}-${loading}/_history/1`),
})

export const footMeasure = (
  mm: number,
  on: string = AS_OF,
  loading: Loading = 'loaded',
): FootMeasure => {
  const { evidence } = taken(mm, on, loading)
  return { on: civilDate(on), mm: millimetres(mm), loading, evidence }
}

type Sizes = Partial<Record<Dimension, number>>

/** A foot measured loaded on the day, in mm. */
export const measuredFoot = (sizes: Sizes) => {
  const own = Object.entries(sizes).map(([name, mm]) => [name, [taken(mm)]] as const)
  return foot({ measurements: { ...foot().measurements, ...Object.fromEntries(own) } })
}

/** The dimensions that sizing uses of a foot measured loaded on the day, in mm. */
export const usedOf = (sizes: Sizes): FootDimensions['used'] =>
  Object.fromEntries(Object.entries(sizes).map(([name, mm]) => [name, footMeasure(mm)] as const))

/** An invented size for feet of 120 to 130 mm. */
export const size = (known: Partial<DeviceSize> = {}): DeviceSize => ({
  code: 'B',
  footLength: { min: 120, max: 130 },
  forefootBreadth: { min: 45, max: 60 },
  ankleCircumference: { min: 115, max: 160 },
  medialPlate: 95,
  lateralPlate: 98,
  instepGirth: 110,
  maxTrim: 12,
  ...known,
})

export const chartOf = (...sizes: readonly DeviceSize[]): SizeChart => ({
  id: 'invented',
  version: '1',
  title: 'Invented chart',
  note: 'Invented for a test.',
  sizes,
})

/** Three invented sizes: A 110-120, B 120-130, C 130-140 mm. */
export const THREE_SIZES = chartOf(
  size({
    code: 'A',
    footLength: { min: 110, max: 120 },
    medialPlate: 88,
    lateralPlate: 91,
    instepGirth: 100,
  }),
  size(),
  size({
    code: 'C',
    footLength: { min: 130, max: 140 },
    medialPlate: 102,
    lateralPlate: 105,
    instepGirth: 120,
  }),
)

/** What a finding says does not matter to the test that makes it. */
export const SOMETHING_SAID = say('skill.running')

export const finding = (rule: string, holds: Truth): Finding => ({
  rule,
  holds,
  because: SOMETHING_SAID,
  sources: ['judgement'],
  evidence: [],
})

const footPosture = (side: Side, excessive: Truth): FootPosture => ({
  side,
  planes: [],
  excessivePronation: finding(`excessive-pronation.${side}`, excessive),
  flexible: finding(`flexible-foot.${side}`, 'yes'),
  tightCalf: finding(`tight-calf.${side}`, 'no'),
  fixedCalf: finding(`fixed-calf.${side}`, 'no'),
  remarks: [],
})

export const postureOf = (left: Truth, right: Truth): Posture => ({
  left: footPosture('left', left),
  right: footPosture('right', right),
})

export const walking = (walksAlone: Truth): Milestones => ({
  statuses: [],
  skills: [],
  regression: finding('regression', 'no'),
  bearsWeight: finding('bears-weight', 'yes'),
  walksAlone: finding('walks-alone', walksAlone),
})

export const suitabilityOf = (known: Partial<Suitability> = {}): Suitability => ({
  outcome: 'suitable',
  criteria: [],
  exclusions: [],
  redFlags: [],
  missing: [],
  pathways: [],
  statements: [],
  because: SOMETHING_SAID,
  ...known,
})

export const NO_TEMPO: Tempo = {
  state: 'not-estimable',
  reason: 'no-observations',
  finding: finding('tempo', 'unknown'),
}

/** A tempo of three quarters, walking alone expected in the autumn. */
export const TEMPO: Tempo = {
  state: 'estimated',
  believed: { grid: { first: 0, stride: 1, length: 1 }, mass: new Float64Array([1]) },
  tempo: 0.75,
  tempoInterval: { low: 0.65, high: 0.85 },
  ageEquivalent: months(13.5),
  ageEquivalentInterval: { low: 12, high: 15 },
  delayPercent: 25,
  delayInterval: { low: 15, high: 35 },
  delayProbability: { atLeast25: 0.5, atLeast33: 0.1, atLeast50: 0 },
  walkingAloneBy18Months: 0.3,
  walkingPrognosis: SOMETHING_SAID,
  sceptical: { delayPercent: 22, differs: false },
  expected: [
    {
      milestone: 'standing-alone',
      median: civilDate('2026-05-10'),
      earliest: civilDate('2026-04-01'),
      latest: civilDate('2026-07-20'),
      because: SOMETHING_SAID,
    },
    {
      milestone: 'walking-alone',
      median: civilDate('2026-07-01'),
      earliest: civilDate('2026-05-01'),
      because: SOMETHING_SAID,
    },
  ],
  finding: finding('tempo', 'yes'),
}

export const sizedFoot = (known: Partial<FootSizing> = {}): FootSizing => ({
  side: 'left',
  state: 'sized',
  size: size(),
  used: {},
  alternatives: [],
  trims: [],
  closureGapMm: 'unknown',
  warnings: [],
  because: SOMETHING_SAID,
  evidence: [],
  ...known,
})

/** An invented walking child of 18 months with two measured, excessively pronated feet. */
export const planFacts = (known: Partial<PlanFacts> = {}): PlanFacts => {
  const own = measuredFoot({ 'foot-length': 124, 'forefoot-breadth': 52 })
  const on = { child: child({ feet: { left: own, right: own } }), asOf: AS_OF, ages: agesAt(17.9) }
  return {
    ...on,
    milestones: walking('yes'),
    tempo: TEMPO,
    suitability: suitabilityOf(),
    sizing: sizing(on, GENERIC_SIZE_CHART, RULES),
    posture: postureOf('yes', 'yes'),
    ...known,
  }
}
