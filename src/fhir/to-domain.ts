import {
  type Child,
  DESCRIBED_SKILLS,
  DIAGNOSES,
  type Diagnosis,
  DIMENSIONS,
  type Foot,
  MILESTONES,
  RED_FLAG_SIGNS,
  type Side,
  SIGNS,
} from '../domain/child.ts'
import { type CivilDate, civilDate } from '../domain/calendar.ts'
import { evidenceRef, type Fact, type Recorded } from '../domain/facts.ts'
import { DIAGNOSIS_CODES, SYSTEMS } from './codes.ts'
import { attainment, CHILD_READERS, FOOT_READERS, measurementOf, type ValueOf } from './observed.ts'
import {
  DIMENSION_CODES,
  MILESTONE_CODES,
  RED_FLAG_CODES,
  SIGN_CODES,
  SKILL_CODES,
} from './observed-codes.ts'
import { kindOf, type ObservationKind } from './observation-kinds.ts'
import type { Condition, Observation, Patient, Resource } from './r4/types.ts'
import { boolean } from './reading.ts'
import { dayOf, type ReaderRow, type RecordEntry, RecordFacts } from './record-facts.ts'

/**
 * The facts of a child's record. Every resource was validated when it came in; one that was entered in
 * error, cancelled or says that the value is absent is no fact.
 *
 * @param receivedOn the day the clinic received the referral
 * @param asOf       what was observed after this day is not seen
 */
export function toChild(
  record: readonly RecordEntry[],
  patient: { readonly reference: string; readonly resource: Patient },
  { receivedOn, asOf }: { readonly receivedOn: CivilDate; readonly asOf: CivilDate },
): Child {
  const facts = new RecordFacts(record, asOf)
  const birthDate = civilDate(patient.resource.birthDate ?? '')
  const { gestationDays, tone, beighton, medicalReview, shoeSize, standardised } = CHILD_READERS
  const one = <T>(name: string, row: ReaderRow<T>) => facts.one(name, row)
  return {
    birthDate: { value: birthDate, on: birthDate, evidence: evidenceRef(patient.reference) },
    gestationDays: gestationOf(facts, gestationDays),
    sex: sexOf(patient.resource),
    milestoneChecks: MILESTONES.flatMap((milestone) =>
      facts.all({ codes: [MILESTONE_CODES[milestone]], read: attainment }).map((fact) => ({
        ...fact,
        value: { milestone, ...fact.value },
      })),
    ),
    skillChecks: DESCRIBED_SKILLS.flatMap((skill) =>
      facts.all({ codes: [SKILL_CODES[skill]], read: attainment }).map((fact) => ({
        ...fact,
        value: { skill, attained: fact.value.attained },
      })),
    ),
    standardised: one('standardised', standardised),
    tone: one('tone', tone),
    beighton: one('beighton', beighton),
    signs: each(SIGNS, (sign) => one(sign, { codes: [SIGN_CODES[sign]], read: boolean })),
    redFlags: each(RED_FLAG_SIGNS, (sign) =>
      one(sign, { codes: [RED_FLAG_CODES[sign]], read: boolean }),
    ),
    medicalReview: one('medicalReview', medicalReview),
    diagnoses: diagnosesOf(record, birthDate, asOf),
    feet: { left: footOf(facts, 'left'), right: footOf(facts, 'right') },
    shoeSize: one('shoeSize', shoeSize),
    referral: { receivedOn },
    contradictions: facts.contradictions,
  }
}

/** The value at birth is preferred; an estimate is taken where it is all there is. */
function gestationOf(facts: RecordFacts, { codes, read }: ReaderRow<number>): Recorded<number> {
  const [first, ...estimated] = codes
  const atBirth = { codes: first === undefined ? [] : [first], read }
  // Where the values at birth contradict each other, an estimate does not decide between them.
  const recordedAtBirth = facts.all(atBirth).length > 0
  return facts.one('gestationDays', recordedAtBirth ? atBirth : { codes: estimated, read })
}

function footOf(facts: RecordFacts, side: Side): Foot {
  const one = <K extends keyof typeof FOOT_READERS>(name: K): Recorded<ValueOf<Foot[K]>> =>
    facts.one(`${name}.${side}`, FOOT_READERS[name], side)
  return {
    fpi: one('fpi'),
    heelEversion: one('heelEversion'),
    navicularDrop: one('navicularDrop'),
    staheliIndex: one('staheliIndex'),
    chippauxSmirakPercent: one('chippauxSmirakPercent'),
    archSeenUnloaded: one('archSeenUnloaded'),
    tiptoeArchAndHeelInversion: one('tiptoeArchAndHeelInversion'),
    greatToeExtensionRaisesArch: one('greatToeExtensionRaisesArch'),
    ankleDorsiflexion: one('ankleDorsiflexion'),
    ankleDorsiflexionKneeBent: one('ankleDorsiflexionKneeBent'),
    openSkin: one('openSkin'),
    insensate: one('insensate'),
    ashworthCalf: one('ashworthCalf'),
    rockerBottomOrStiffHindfoot: one('rockerBottomOrStiffHindfoot'),
    kneeAngle: one('kneeAngle'),
    measurements: each(DIMENSIONS, (dimension) =>
      facts.all({ codes: [DIMENSION_CODES[dimension]], read: measurementOf(dimension) }, side),
    ),
  }
}

function diagnosesOf(
  record: readonly RecordEntry[],
  birthDate: CivilDate,
  asOf: CivilDate,
): Partial<Record<Diagnosis, Fact<true>>> {
  const found: Partial<Record<Diagnosis, Fact<true>>> = {}
  for (const { reference, resource } of record) {
    if (resource.resourceType !== 'Condition') continue
    const on = dayOf(resource.recordedDate) ?? birthDate
    if (on > asOf) continue
    for (const diagnosis of DIAGNOSES)
      if (isCodedAs(resource, diagnosis) && holds(resource, diagnosis))
        found[diagnosis] ??= { value: true, on, evidence: evidenceRef(reference) }
  }
  return found
}

/** Cerebral palsy does not pass, whatever its clinical status says. */
const LASTING: ReadonlySet<Diagnosis> = new Set([
  'spastic-cerebral-palsy',
  'cerebral-palsy',
  'down-syndrome',
])

/**
 * Does the condition count? Never when refuted or entered in error. One that is not confirmed may rule
 * out, but does not fulfil a criterion; one that is over is no fact of today unless it cannot pass.
 */
function holds({ verificationStatus, clinicalStatus }: Condition, diagnosis: Diagnosis): boolean {
  const verification = verificationStatus?.coding?.map(({ code }) => code ?? '') ?? []
  const clinical = clinicalStatus?.coding?.map(({ code }) => code ?? '') ?? []
  if (verification.some((code) => code === 'refuted' || code === 'entered-in-error')) return false
  if (LASTING.has(diagnosis)) return true
  const open = verification.some((code) =>
    ['unconfirmed', 'provisional', 'differential'].includes(code),
  )
  return !open && !clinical.some((code) => ['inactive', 'remission', 'resolved'].includes(code))
}

const isCodedAs = ({ code }: Condition, diagnosis: Diagnosis): boolean =>
  code?.coding?.some(
    (coding) =>
      (coding.system === SYSTEMS.icd10cm || coding.system === SYSTEMS.icd10) &&
      DIAGNOSIS_CODES[diagnosis].some((prefix) =>
        undotted(coding.code ?? '').startsWith(undotted(prefix)),
      ),
  ) ?? false

/** Some systems send ICD-10 codes without the dot. */
const undotted = (code: string): string => code.replaceAll('.', '').toUpperCase()

const sexOf = ({ gender }: Patient): Child['sex'] =>
  gender === 'female' || gender === 'male' ? gender : 'unknown'

const each = <K extends string, V>(keys: readonly K[], value: (key: K) => V): Record<K, V> =>
  Object.fromEntries(keys.map((key) => [key, value(key)])) as Record<K, V>

/** Is it a resource that triage reads facts from? */
export function isInput(resource: Resource): boolean {
  if (resource.resourceType === 'Observation')
    return kindsOf(resource).some(({ ofVisit }) => ofVisit === undefined)
  return resource.resourceType === 'Patient' || resource.resourceType === 'Condition'
}

/** The kinds of observation that any rule reads, of a visit too. */
export const kindsOf = ({ code }: Observation): ObservationKind[] =>
  code.coding?.flatMap((coding) => kindOf(coding) ?? []) ?? []
