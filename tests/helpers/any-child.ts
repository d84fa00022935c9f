import {
  type Arbitrary,
  array,
  boolean,
  constant,
  constantFrom,
  double,
  integer,
  oneof,
  option,
  record,
  tuple,
} from 'fast-check'
import { addDays, civilDate } from '../../src/domain/calendar.ts'
import {
  ASHWORTH_GRADES,
  type Child,
  DESCRIBED_SKILLS,
  DIAGNOSES,
  DIMENSIONS,
  type Foot,
  type FpiItems,
  type Measurement,
  MILESTONES,
  RED_FLAG_SIGNS,
  SIGNS,
} from '../../src/domain/child.ts'
import { evidenceRef, type Fact, type Recorded } from '../../src/domain/facts.ts'
import { degrees, millimetres } from '../../src/domain/units.ts'

// Any child that the edge lets in: every fact known or not, on any day, of any value it takes.

const BORN = civilDate('2022-01-01')
export const LAST_DAY = 365 * 8
const onDay = integer({ min: 0, max: LAST_DAY }).map((days) => addDays(BORN, days))
const evidence = integer({ min: 1, max: 40 }).map((n) => evidenceRef(`Observation/${n}/_history/1`))

const factOf = <T>(value: Arbitrary<T>): Arbitrary<Fact<T>> =>
  record({ value, on: onDay, evidence })
const maybe = <T>(value: Arbitrary<T>): Arbitrary<Recorded<T>> =>
  oneof(
    { weight: 2, arbitrary: factOf(value) },
    { weight: 1, arbitrary: constant('unknown' as const) },
  )
const each = <K extends string, T>(keys: readonly K[], value: Arbitrary<T>) =>
  tuple(...keys.map(() => value)).map(
    (values) => Object.fromEntries(keys.map((key, i) => [key, values[i]])) as Record<K, T>,
  )
const seen = maybe(boolean())
/** Mostly what does not rule out, so that every outcome is met. */
const mostly = <T>(usual: T, any: Arbitrary<T>): Arbitrary<Recorded<T>> =>
  oneof({ weight: 8, arbitrary: factOf(constant(usual)) }, { weight: 1, arbitrary: maybe(any) })
const angle = maybe(integer({ min: -90, max: 90 }).map(degrees))
const number = (min: number, max: number) => double({ min, max, noNaN: true })

const score = option(constantFrom(-2, -1, 0, 1, 1, 2, 2, 2), { nil: undefined, freq: 9 })
const fpi = tuple(score, score, score, score, score, score)
  .filter((scores) => scores.some((one) => one !== undefined))
  .map(
    (scores) =>
      Object.fromEntries(
        scores.flatMap((one, i) => (one === undefined ? [] : [[i + 1, one]])),
      ) as FpiItems,
  )
const measurement: Arbitrary<Measurement> = record({
  mm: integer({ min: 60, max: 240 }).map(millimetres),
  loading: constantFrom('loaded' as const, 'unloaded' as const, 'unknown' as const),
})

const anyFoot: Arbitrary<Foot> = record({
  fpi: maybe(fpi),
  heelEversion: angle,
  navicularDrop: maybe(integer({ min: 0, max: 60 }).map(millimetres)),
  staheliIndex: maybe(number(0, 3)),
  chippauxSmirakPercent: maybe(number(0, 150)),
  archSeenUnloaded: seen,
  tiptoeArchAndHeelInversion: mostly(true, boolean()),
  greatToeExtensionRaisesArch: seen,
  ankleDorsiflexion: mostly(degrees(15), integer({ min: -90, max: 90 }).map(degrees)),
  ankleDorsiflexionKneeBent: angle,
  openSkin: mostly(false, boolean()),
  insensate: mostly(false, boolean()),
  ashworthCalf: mostly('0', constantFrom(...ASHWORTH_GRADES)),
  rockerBottomOrStiffHindfoot: seen,
  kneeAngle: angle,
  measurements: each(DIMENSIONS, array(factOf(measurement), { maxLength: 3 })),
})

const milestoneCheck = record({
  milestone: constantFrom(...MILESTONES),
  attained: boolean(),
  reportedBy: constantFrom('professional' as const, 'caregiver' as const),
})
const skillCheck = record({ skill: constantFrom(...DESCRIBED_SKILLS), attained: boolean() })
const standardised = oneof(
  record({ kind: constant('percent-delay' as const), percent: number(-100, 100) }),
  record({ kind: constant('z-score' as const), z: number(-10, 10) }),
  record({
    kind: constant('standard-score' as const),
    score: number(0, 200),
    mean: constant(100),
    sd: constant(15),
  }),
)

/** Born on one day, so that any day of the record lies in a childhood. */
export const anyChild: Arbitrary<Child> = record({
  birthDate: constant({ value: BORN, on: BORN, evidence: evidenceRef('Patient/1/_history/1') }),
  gestationDays: maybe(integer({ min: 154, max: 308 })),
  sex: constantFrom('female' as const, 'male' as const, 'unknown' as const),
  milestoneChecks: array(factOf(milestoneCheck), { maxLength: 14 }),
  skillChecks: array(factOf(skillCheck), { maxLength: 6 }),
  standardised: maybe(standardised),
  tone: mostly('low', constantFrom('low' as const, 'normal' as const, 'raised' as const)),
  beighton: maybe(integer({ min: 0, max: 9 })),
  signs: each(SIGNS, seen),
  redFlags: each(RED_FLAG_SIGNS, seen),
  medicalReview: seen,
  diagnoses: tuple(
    ...DIAGNOSES.map(() =>
      oneof({ weight: 9, arbitrary: constant(null) }, factOf(constant(true as const))),
    ),
  ).map(
    (facts) =>
      Object.fromEntries(
        facts.flatMap((one, i) => (one === null ? [] : [[DIAGNOSES[i], one]])),
      ) as Child['diagnoses'],
  ),
  feet: record({ left: anyFoot, right: anyFoot }),
  shoeSize: maybe(
    record({
      system: constantFrom(
        'eu' as const,
        'uk-child' as const,
        'us-child' as const,
        'mondopoint' as const,
      ),
      size: integer({ min: 1, max: 40 }),
    }),
  ),
  referral: record({ receivedOn: onDay }),
  contradictions: constant([]),
})

export const anyDay = onDay
