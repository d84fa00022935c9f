import { SIDES } from '../domain/child.ts'
import { valueOf } from '../domain/facts.ts'
import {
  type DiagnosisCandidate,
  type DiagnosisGroup,
  ICD_10_CM_CANDIDATES,
} from '../domain/tables/icd-10-cm-candidates.ts'
import type { DocumentFacts } from './document-facts.ts'
import { isMet } from './necessity-checklist.ts'

export interface Candidate {
  readonly code: string
  readonly title: string
  /** Somebody recorded it as a diagnosis of this child. */
  readonly isRecorded: boolean
}

/**
 * Diagnoses that may apply, none chosen: every code of the groups in which this child has a finding, of one foot
 * only where that foot has it, and every code that is on record. In the order of the list.
 */
export function candidateDiagnoses({ triage, record }: DocumentFacts): readonly Candidate[] {
  const recorded = new Set(record.diagnoses.flatMap(({ code }) => code ?? []))
  const listed = ICD_10_CM_CANDIDATES.filter(
    (one) => recorded.has(one.code) || applies(one, triage),
  ).map(({ code, title }) => ({ code, title, isRecorded: recorded.has(code) }))
  const others = record.diagnoses.flatMap(({ code, text }) =>
    code === undefined || listed.some((one) => one.code === code)
      ? []
      : [{ code, title: text, isRecorded: true }],
  )
  return [...listed, ...others]
}

type Triage = DocumentFacts['triage']

function applies({ group, side }: DiagnosisCandidate, triage: Triage): boolean {
  return HOLDS[group](triage) && (side === undefined || pronates(triage, side))
}

const pronates = ({ posture }: Triage, side: 'left' | 'right'): boolean =>
  posture[side].excessivePronation.holds === 'yes'

const anyPronates = (triage: Triage): boolean => SIDES.some((side) => pronates(triage, side))

const seen = (triage: Triage, sign: keyof Triage['child']['signs']): boolean =>
  valueOf(triage.child.signs[sign]) === true

const HOLDS: Readonly<Record<DiagnosisGroup, (triage: Triage) => boolean>> = {
  'tone-strength': (triage) => isMet(triage, 'low-tone'),
  development: (triage) => isMet(triage, 'functional-concern'),
  'gait-posture': (triage) =>
    seen(triage, 'wide-guarded-gait') || seen(triage, 'falls-beyond-practice'),
  'foot-congenital': anyPronates,
  'foot-acquired': anyPronates,
  'joint-laxity': (triage) => seen(triage, 'generalised-laxity'),
}
