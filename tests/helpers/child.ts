import type { Child, Dimension, Foot } from '../../src/domain/child.ts'
import { DIMENSIONS, RED_FLAG_SIGNS, SIGNS } from '../../src/domain/child.ts'
import { civilDate } from '../../src/domain/calendar.ts'
import { evidenceRef, type Fact } from '../../src/domain/facts.ts'

/** A fact of an invented record. */
export const fact = <T>(value: T, on = '2026-03-01', evidence = 'Observation/a/_history/1') =>
  ({ value, on: civilDate(on), evidence: evidenceRef(evidence) }) satisfies Fact<T>

const each = <K extends string, V>(keys: readonly K[], value: V) =>
  Object.fromEntries(keys.map((key) => [key, value])) as Record<K, V>

/** A foot of which nothing is recorded, with what a test adds. */
export const foot = (known: Partial<Foot> = {}): Foot => ({
  fpi: 'unknown',
  heelEversion: 'unknown',
  navicularDrop: 'unknown',
  staheliIndex: 'unknown',
  chippauxSmirakPercent: 'unknown',
  archSeenUnloaded: 'unknown',
  tiptoeArchAndHeelInversion: 'unknown',
  greatToeExtensionRaisesArch: 'unknown',
  ankleDorsiflexion: 'unknown',
  ankleDorsiflexionKneeBent: 'unknown',
  openSkin: 'unknown',
  insensate: 'unknown',
  ashworthCalf: 'unknown',
  rockerBottomOrStiffHindfoot: 'unknown',
  kneeAngle: 'unknown',
  measurements: each<Dimension, Foot['measurements'][Dimension]>(DIMENSIONS, []),
  ...known,
})

/** An invented child of whom only the birth date is known, with what a test adds. */
export const child = (known: Partial<Child> = {}): Child => ({
  birthDate: fact(civilDate('2024-09-01'), '2024-09-01', 'Patient/a/_history/1'),
  gestationDays: 'unknown',
  sex: 'unknown',
  milestoneChecks: [],
  skillChecks: [],
  standardised: 'unknown',
  tone: 'unknown',
  beighton: 'unknown',
  signs: each(SIGNS, 'unknown'),
  redFlags: each(RED_FLAG_SIGNS, 'unknown'),
  medicalReview: 'unknown',
  diagnoses: {},
  feet: { left: foot(), right: foot() },
  shoeSize: 'unknown',
  referral: { receivedOn: civilDate('2026-03-01') },
  contradictions: [],
  ...known,
})
