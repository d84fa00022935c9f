import type { CivilDate } from '../domain/calendar.ts'
import {
  absent,
  cdsFault,
  malformed,
  needed,
  type Prefetch,
  prefetchedResource,
  prefetchedResources,
  resourcesIn,
} from './cds-prefetch.ts'
import { type KnownReferrals, knownReferrals } from './cds-referrals.ts'
import { isComputed } from './observation-profile.ts'
import { isReferral, profileFaults } from './profiles.ts'
import type { Patient, Reference, Resource, ServiceRequest } from './r4/types.ts'
import type { RecordEntry } from './record-facts.ts'
import { isInput } from './to-domain.ts'

/** What a hook says of a child, read. */
export interface PointOfCare {
  readonly patientId: string
  readonly patient: Patient
  /** What facts are read from. */
  readonly record: readonly RecordEntry[]
  readonly referrals: KnownReferrals
  /** Referrals of ours that are about to be signed. */
  readonly drafts: readonly ServiceRequest[]
}

interface Sent {
  readonly patientId: string
  readonly prefetch: Prefetch
  readonly drafts: readonly ServiceRequest[]
}

/** Referrals of ours in the Bundle of `order-sign`. */
export const draftReferrals = (draftOrders: unknown): readonly ServiceRequest[] =>
  draftOrders === undefined
    ? []
    : resourcesIn(draftOrders, 'ServiceRequest', 'context.draftOrders').filter(isReferral)

/**
 * The record of a child out of what came with a call. Throws what cannot be read, what is about another child,
 * and what is needed and did not come.
 */
export function pointOfCare(
  { patientId, prefetch, drafts }: Sent,
  latestDay: CivilDate,
): PointOfCare {
  const patient = prefetchedResource(prefetch, 'patient', 'Patient')
  // What was computed here comes back from a server that keeps it; no fact is read from it.
  const observations = prefetchedResources(prefetch, 'observations', 'Observation')?.filter(
    (one) => !isComputed(one),
  )
  const conditions = prefetchedResources(prefetch, 'conditions', 'Condition')
  const referrals = prefetchedResources(prefetch, 'referrals', 'ServiceRequest') ?? []
  if (observations === undefined) throw absent('observations')
  if (conditions === undefined) throw absent('conditions')
  refuseOthers(patientId, {
    patient,
    about: [...observations, ...conditions, ...referrals, ...drafts],
  })
  if (patient.birthDate?.length !== 'YYYY-MM-DD'.length || patient.birthDate > latestDay)
    throw needed('prefetch.patient.birthDate', 'A birth date with year, month and day is needed.')
  const faults = [...observations, ...drafts].flatMap((resource) =>
    profileFaults(resource, placeOf(resource), latestDay),
  )
  if (faults.length > 0) throw malformed(faults)
  return {
    patientId,
    patient,
    record: [patient, ...observations, ...conditions].filter(isInput).map(entryOf),
    referrals: knownReferrals(referrals, drafts),
    drafts,
  }
}

type About = Resource & { readonly subject?: Reference }

/** An answer about one child that rests on another's data would be the worst that can be given. */
function refuseOthers(
  patientId: string,
  { patient, about }: { readonly patient: Patient; readonly about: readonly About[] },
): void {
  const others = about.filter(({ subject }) => !isAbout(subject, patientId))
  const faults = [
    ...(patient.id === patientId
      ? []
      : [cdsFault('prefetch.patient.id', 'cds-patient', 'It is not the patient of the context.')]),
    ...others.map((resource) =>
      cdsFault(
        `${placeOf(resource)}.subject.reference`,
        'cds-patient',
        'It is not about the patient of the context.',
      ),
    ),
  ]
  if (faults.length > 0) throw malformed(faults)
}

const isAbout = (subject: Reference | undefined, patientId: string): boolean =>
  /(?:^|\/)Patient\/([A-Za-z0-9\-.]{1,64})(?:\/_history\/[^/]+)?$/.exec(
    subject?.reference ?? '',
  )?.[1] === patientId

/** Where a resource stands, by what it is called: a caller finds it by that. */
const placeOf = ({ resourceType, id }: Resource): string =>
  id === undefined ? resourceType : `${resourceType}.where(id='${id}')`

const entryOf = (resource: Resource, index: number): RecordEntry => ({
  reference: `${resource.resourceType}/${resource.id ?? `sent-${index}`}`,
  resource,
})
