import type { CivilDate } from './calendar.ts'
import type { Contradiction, Fact, Recorded } from './facts.ts'
import type { Degrees, Millimetres } from './units.ts'

/** The six milestones of the WHO motor study; they alone carry statistics. */
export const MILESTONES = [
  'sitting-without-support',
  'standing-with-assistance',
  'hands-and-knees-crawling',
  'walking-with-assistance',
  'standing-alone',
  'walking-alone',
] as const
export type Milestone = (typeof MILESTONES)[number]

/** Skills without a reference row: words only, never a number. */
export const DESCRIBED_SKILLS = [
  'rolling',
  'pulling-to-stand',
  'cruising',
  'creeping-upstairs',
  'running',
  'jumping-with-both-feet',
  'heel-contact-first',
  'push-off-in-walking',
] as const
export type DescribedSkill = (typeof DESCRIBED_SKILLS)[number]

/** One look at one milestone. `Fact.on` is the day of the look. */
export interface MilestoneCheck {
  readonly milestone: Milestone
  readonly attained: boolean
  /** The day the skill was first seen, when somebody dated it. */
  readonly attainedOn?: CivilDate
  readonly reportedBy: 'professional' | 'caregiver'
}

export interface SkillCheck {
  readonly skill: DescribedSkill
  readonly attained: boolean
}

/** A result of a standardised gross motor test, used as given; no norms of a test are held here. */
export type StandardisedResult =
  | { readonly kind: 'percent-delay'; readonly percent: number }
  | { readonly kind: 'z-score'; readonly z: number }
  | {
      readonly kind: 'standard-score'
      readonly score: number
      readonly mean: number
      readonly sd: number
    }

export type Tone = 'low' | 'normal' | 'raised'
/** Modified Ashworth Scale in its order; not a number. */
export const ASHWORTH_GRADES = ['0', '1', '1+', '2', '3', '4'] as const
export type AshworthGrade = (typeof ASHWORTH_GRADES)[number]

export const SIDES = ['left', 'right'] as const
export type Side = (typeof SIDES)[number]

/** Foot Posture Index items, each -2 to +2; an item that could not be judged is left out. */
export type FpiItems = Readonly<Partial<Record<1 | 2 | 3 | 4 | 5 | 6, number>>>

export const DIMENSIONS = [
  'foot-length',
  'forefoot-breadth',
  'heel-to-first-metatarsal-head',
  'heel-to-fifth-toe-sulcus',
  'malleolar-breadth',
  'ankle-circumference',
  'instep-girth',
] as const
export type Dimension = (typeof DIMENSIONS)[number]

export interface Measurement {
  readonly mm: Millimetres
  /** Whether the child stood on the foot while it was measured. */
  readonly loading: 'loaded' | 'unloaded' | 'unknown'
}

export type ShoeSystem = 'eu' | 'uk-child' | 'us-child' | 'mondopoint'
export interface ShoeSize {
  readonly system: ShoeSystem
  readonly size: number
}

/** What is recorded of one foot. Eversion and dorsiflexion are positive. */
export interface Foot {
  readonly fpi: Recorded<FpiItems>
  readonly heelEversion: Recorded<Degrees>
  readonly navicularDrop: Recorded<Millimetres>
  readonly staheliIndex: Recorded<number>
  readonly chippauxSmirakPercent: Recorded<number>
  readonly archSeenUnloaded: Recorded<boolean>
  readonly tiptoeArchAndHeelInversion: Recorded<boolean>
  readonly greatToeExtensionRaisesArch: Recorded<boolean>
  /** Passive, knee straight. */
  readonly ankleDorsiflexion: Recorded<Degrees>
  /** Passive, knee bent. */
  readonly ankleDorsiflexionKneeBent: Recorded<Degrees>
  readonly openSkin: Recorded<boolean>
  readonly insensate: Recorded<boolean>
  readonly ashworthCalf: Recorded<AshworthGrade>
  readonly rockerBottomOrStiffHindfoot: Recorded<boolean>
  /** Valgus positive, varus negative. */
  readonly kneeAngle: Recorded<Degrees>
  /** Every measurement on record, oldest first; the last of a dimension is the current one. */
  readonly measurements: Readonly<Record<Dimension, readonly Fact<Measurement>[]>>
}

/** Postural and safety signs a therapist reports, each seen, looked for and not there, or unknown. */
export const SIGNS = [
  'habitual-w-sitting',
  'rises-onto-toes-for-stability',
  'forward-lean-with-knees-rolling-in',
  'wide-guarded-gait',
  'heel-contact-seen',
  'falls-beyond-practice',
  'refuses-to-stand',
  'generalised-laxity',
  'motor-concern',
] as const
export type Sign = (typeof SIGNS)[number]

/** Signs that a physician must see first. Regression and late walking are also derived from milestones. */
export const RED_FLAG_SIGNS = [
  'loss-of-skills',
  'one-sided-weakness',
  'hand-preference',
  'pain-or-swelling',
  'gowers-sign',
  'absent-reflexes',
  'marked-weakness',
  'rising-tone-or-clonus',
  'fever-or-new-limp',
] as const
export type RedFlagSign = (typeof RED_FLAG_SIGNS)[number]

export const DIAGNOSES = [
  'hypotonia',
  'spastic-cerebral-palsy',
  /** Of another or no stated type. */
  'cerebral-palsy',
  'down-syndrome',
] as const
export type Diagnosis = (typeof DIAGNOSES)[number]

export interface Referral {
  /** The day the clinic received it: waiting counts from here. */
  readonly receivedOn: CivilDate
}

/** Everything that the rules may know about a child. Names and identifiers are not among it. */
export interface Child {
  readonly birthDate: Fact<CivilDate>
  /** Gestational age at birth in days (28 weeks = 196). */
  readonly gestationDays: Recorded<number>
  readonly sex: 'female' | 'male' | 'unknown'
  /** Every check on record, in any order. */
  readonly milestoneChecks: readonly Fact<MilestoneCheck>[]
  readonly skillChecks: readonly Fact<SkillCheck>[]
  readonly standardised: Recorded<StandardisedResult>
  readonly tone: Recorded<Tone>
  readonly beighton: Recorded<number>
  readonly signs: Readonly<Record<Sign, Recorded<boolean>>>
  readonly redFlags: Readonly<Record<RedFlagSign, Recorded<boolean>>>
  /** A medical review of the late walking is on record. */
  readonly medicalReview: Recorded<boolean>
  /** Present when coded on an active condition; a condition refuted or never mentioned is not here. */
  readonly diagnoses: Readonly<Partial<Record<Diagnosis, Fact<true>>>>
  readonly feet: Readonly<Record<Side, Foot>>
  readonly shoeSize: Recorded<ShoeSize>
  readonly referral: Referral
  readonly contradictions: readonly Contradiction[]
}
