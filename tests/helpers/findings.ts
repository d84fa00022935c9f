import type { Ages } from '../../src/domain/development/age.ts'
import type { AssessedChild } from '../../src/domain/assessed-child.ts'
import { civilDate } from '../../src/domain/calendar.ts'
import type { Child, DescribedSkill, Foot, FpiItems, Milestone } from '../../src/domain/child.ts'
import { say } from '../../src/domain/messages/message.ts'
import { MILESTONES, RED_FLAG_SIGNS, SIGNS } from '../../src/domain/child.ts'
import type { Milestones, MilestoneStatus } from '../../src/domain/development/milestones.ts'
import { posture } from '../../src/domain/foot/posture.ts'
import type { Tempo, TempoEstimate } from '../../src/domain/development/tempo.ts'
import type { Finding, Truth } from '../../src/domain/truth.ts'
import { degrees, months } from '../../src/domain/units.ts'
import { child, fact, foot } from './child.ts'
import { RULES } from './rules.ts'

/** The day of the assessment in these tests; facts are of this day unless a test says otherwise. */
export const TODAY = civilDate('2026-03-01')

/** What a finding says does not matter to the test that makes it, so long as it is a sentence. */
const SOMETHING_SAID = say('tempo.no-observations')

export const finding = (rule: string, holds: Truth): Finding => ({
  rule,
  holds,
  because: SOMETHING_SAID,
  sources: ['common-practice'],
  evidence: [],
})

export const agesAt = (age: number): Ages => ({
  chronologicalDays: Math.round(age * 30.4375),
  chronologicalMonths: months(age),
  completedMonths: Math.floor(age),
  used: 'chronological',
  months: months(age),
  correctUntilMonths: months(36),
  findings: [],
})

interface MilestonesKnown {
  readonly bearsWeight?: Truth
  readonly walksAlone?: Truth
  readonly regression?: Truth
  readonly walkingOnset?: Milestones['walkingOnset']
  readonly lastAttainedOn?: string
  readonly states?: Partial<Record<Milestone, MilestoneStatus['state']>>
  readonly skills?: readonly { readonly skill: DescribedSkill; readonly holds: Truth }[]
}

const HOLDS = {
  attained: 'yes',
  'not-yet': 'no',
  unknown: 'unknown',
  'left-out': 'unknown',
} as const

/** A child that walks alone, with no check of any milestone, unless said otherwise. */
export const milestonesWith = (known: MilestonesKnown = {}): Milestones => ({
  statuses: MILESTONES.map((milestone) => {
    const state = known.states?.[milestone] ?? 'unknown'
    const holds = HOLDS[state]
    return { milestone, state, finding: finding(`milestone.${milestone}`, holds), evidence: [] }
  }),
  skills: (known.skills ?? []).map(({ skill, holds }) => ({
    skill,
    finding: finding(`skill.${skill}`, holds),
  })),
  regression: finding('regression', known.regression ?? 'no'),
  bearsWeight: finding('bears-weight', known.bearsWeight ?? 'yes'),
  walksAlone: finding('walks-alone', known.walksAlone ?? 'yes'),
  ...(known.walkingOnset && { walkingOnset: known.walkingOnset }),
  ...(known.lastAttainedOn !== undefined && { lastAttainedOn: civilDate(known.lastAttainedOn) }),
})

type DelayProbability = TempoEstimate['delayProbability']

export const tempoWith = (
  known: Partial<DelayProbability> & Partial<Pick<TempoEstimate, 'tempo' | 'expected'>> = {},
): TempoEstimate => ({
  state: 'estimated',
  believed: { grid: { first: 0, stride: 1, length: 1 }, mass: new Float64Array([1]) },
  tempo: known.tempo ?? 0.7,
  tempoInterval: { low: 0.6, high: 0.8 },
  ageEquivalent: months(14),
  ageEquivalentInterval: { low: 12, high: 16 },
  delayPercent: 30,
  delayInterval: { low: 20, high: 40 },
  delayProbability: {
    atLeast25: known.atLeast25 ?? 0.9,
    atLeast33: known.atLeast33 ?? 0.5,
    atLeast50: known.atLeast50 ?? 0.1,
  },
  walkingAloneBy18Months: 0.2,
  walkingPrognosis: SOMETHING_SAID,
  sceptical: { delayPercent: 28, differs: false },
  expected: known.expected ?? [],
  finding: finding('tempo', 'yes'),
})

export const noTempo = (
  reason: 'regression' | 'ceiling' | 'no-observations',
  delayUpperBoundPercent?: number,
): Tempo => ({
  state: 'not-estimable',
  reason,
  ...(delayUpperBoundPercent !== undefined && { delayUpperBoundPercent }),
  finding: finding('tempo', 'unknown'),
})

export const fpiOf = (scores: readonly number[]): FpiItems =>
  Object.fromEntries(scores.map((score, index) => [index + 1, score]))

/** A flexible foot, pronated in all three planes, with nothing that forbids an orthosis. */
export const affectedFoot = (known: Partial<Foot> = {}): Foot =>
  foot({
    fpi: fact(fpiOf([1, 1, 1, 1, 1, 1])),
    archSeenUnloaded: fact(true),
    tiptoeArchAndHeelInversion: fact(true),
    greatToeExtensionRaisesArch: fact(true),
    ankleDorsiflexion: fact(degrees(15)),
    openSkin: fact(false),
    insensate: fact(false),
    ashworthCalf: fact('0'),
    rockerBottomOrStiffHindfoot: fact(false),
    kneeAngle: fact(degrees(4)),
    ...known,
  })

const answers = <K extends string>(keys: readonly K[], value: boolean) =>
  Object.fromEntries(keys.map((key) => [key, fact(value)])) as Record<
    K,
    ReturnType<typeof fact<boolean>>
  >

/** An invented child of whom everything is known and who meets every criterion. */
export const knownChild = (known: Partial<Child> = {}): Child =>
  child({
    tone: fact('low'),
    signs: { ...answers(SIGNS, false), 'heel-contact-seen': fact(true) },
    redFlags: answers(RED_FLAG_SIGNS, false),
    medicalReview: fact(true),
    feet: { left: affectedFoot(), right: affectedFoot() },
    ...known,
  })

/** The child on TODAY, 20 months old and walking, with a clear delay, unless said otherwise. */
export function assess(
  of: Child,
  known: Partial<Pick<AssessedChild, 'ages' | 'milestones' | 'tempo' | 'asOf'>> = {},
): AssessedChild {
  const ages = known.ages ?? agesAt(20)
  return {
    child: of,
    asOf: TODAY,
    milestones: milestonesWith(),
    tempo: tempoWith(),
    ...known,
    ages,
    posture: posture(of, ages, RULES),
  }
}
