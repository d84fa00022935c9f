import { oneChild } from '../domain/identity/one-child.ts'
import type { Traits } from '../domain/identity/traits.ts'
import { AppError, type Fault } from '../errors.ts'
import { ownTarget } from '../fhir/literal-reference.ts'
import type { PatientMatchParameters } from '../fhir/patient-match-parameters.ts'
import { type PatientMatch, patientMatchSet } from '../fhir/patient-match-set.ts'
import { patientTraits } from '../fhir/patient-traits.ts'
import type { Patient } from '../fhir/r4/types.ts'
import { asResource } from '../fhir/validate.ts'
import type { Caller } from '../security/access-token.ts'
import type { StoredVersion } from '../storage/resources.ts'
import type { Context } from './context.ts'
import { candidates } from './match-candidates.ts'
import { noteShown } from './noted.ts'
import { readEntry } from './referral-record.ts'
import { forStaff } from './staff-only.ts'
import { unitOfWork } from './unit-of-work.ts'

/** Of one answer, whatever count asks. */
const MAX_MATCHES = 50

interface Candidate extends PatientMatch {
  readonly stored: StoredVersion
  readonly patient: Patient
}

/**
 * Patient/$match: which Patients of the clinic may be this child? For its staff, who see the copies of all
 * partners, and not for a partner, whoever it asks for. Nothing is linked or merged by it.
 *
 * @returns a searchset Bundle as JSON, best first
 */
export function matchPatient(
  context: Context,
  caller: Caller,
  asked: () => PatientMatchParameters,
): Promise<string> {
  if (caller.partnerId !== undefined)
    throw forStaff(
      'Copies of a child are compared by the clinic.',
      'Only staff of the clinic see the copies of all its partners. Search your own Patients: GET Patient?identifier=…',
    )
  return unitOfWork(context, caller, [{ type: 'Patient', letter: 's' }], async (tx) => {
    const { resource, resourceAt, onlyCertainMatches, count } = asked()
    const traits = patientTraits(asPatient(resource, resourceAt))
    const { found, isCut } = await candidates(tx, context, caller, traits)
    const likely = found
      .flatMap((stored) => candidateOf(stored, traits) ?? [])
      .sort((one, other) => other.score - one.score || (one.id < other.id ? -1 : 1))
    const certain = onlyCertainMatches ? onlyCertain(context, likely) : undefined
    const all = certain?.matches ?? likely
    const matches = all.slice(0, Math.min(count ?? MAX_MATCHES, MAX_MATCHES))
    noteShown(
      caller,
      matches.map(({ stored }) => stored),
    )
    const remarks = [...(certain?.remarks ?? []), ...(isCut ? [TOO_MANY] : [])]
    return patientMatchSet({ baseUrl: context.baseUrl, matches, total: all.length, remarks })
  })
}

function asPatient(resource: unknown, at: string): Patient {
  const checked = asResource(resource, { at })
  if (checked.resourceType === 'Patient') return checked
  throw new AppError('invalid-resource', 'A Patient is needed.')
}

/** Undefined where it is not this child. */
function candidateOf(stored: StoredVersion, traits: Traits): Candidate | undefined {
  const { resource } = readEntry(stored)
  if (resource.resourceType !== 'Patient') return undefined
  const { score, grade } = oneChild(traits, patientTraits(resource))
  if (grade === 'certainly-not') return undefined
  return { id: stored.id, body: stored.body, score, grade, stored, patient: resource }
}

/** One or none: of several the one that staff linked to all others, since those are the same child. */
function onlyCertain(
  { baseUrl }: Context,
  likely: readonly Candidate[],
): { readonly matches: readonly Candidate[]; readonly remarks: readonly Fault[] } {
  const certain = likely.filter(({ grade }) => grade === 'certain')
  if (certain.length < 2) return { matches: certain, remarks: [] }
  const main = certain.filter((one) => {
    const linked = new Set(
      (one.patient.link ?? []).map(({ other }) => ownTarget(other.reference, baseUrl)?.id),
    )
    return certain.every(({ id }) => id === one.id || linked.has(id))
  })
  return main.length === 1 ? { matches: main, remarks: [] } : { matches: [], remarks: [SEVERAL] }
}

const remark = (rule: string, code: string, text: string): Fault => ({
  severity: 'information',
  code,
  expression: '',
  rule,
  text,
})

const SEVERAL = remark(
  'match-several',
  'multiple-matches',
  'Several Patients match with certainty and none of them links to all others, so none is returned. Ask without onlyCertainMatches to see them.',
)
const TOO_MANY = remark(
  'match-cut',
  'too-costly',
  'More Patients are alike than were compared. Say more about the child.',
)
