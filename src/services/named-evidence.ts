import type { Triage } from '../domain/triage.ts'
import type { DerivedContext } from '../fhir/derived.ts'
import { triageProvenance } from '../fhir/from-domain.ts'
import type { NewVersion } from '../storage/resource-writes.ts'
import { firstVersion } from './new-version.ts'
import type { ReferralRecord } from './referral-record.ts'

type Evidence = Required<Pick<DerivedContext, 'inputs' | 'unnamed'>>

/**
 * Which versions of a record are named where its results are read. Everything is computed with; but what
 * staff keep to themselves is not told to the sender of the referral, not even by its id.
 */
export function namedEvidence(
  { referral, entries }: Pick<ReferralRecord, 'referral' | 'entries'>,
  references: readonly string[],
): Evidence {
  const { partnerId } = referral.stored
  if (partnerId === undefined) return { inputs: references, unnamed: [] }
  const hidden = new Set(
    entries.filter(({ stored }) => stored.partnerId !== partnerId).map((one) => one.reference),
  )
  return {
    inputs: references.filter((one) => !hidden.has(one)),
    unnamed: references.filter((one) => hidden.has(one)),
  }
}

interface Recorded {
  /** Versions of the results. */
  readonly targets: readonly string[]
  readonly recorded: string
  readonly partnerId: string | undefined
  readonly baseUrl: string
}

export interface Provenances {
  /** Where results come from, for whoever reads them. */
  readonly told: NewVersion
  /** The same with what only the clinic may see, for the clinic; none when that is nothing. */
  readonly ofClinic: readonly NewVersion[]
}

export function provenances(
  triage: Triage,
  derived: DerivedContext,
  { targets, recorded, partnerId, baseUrl }: Recorded,
): Provenances {
  const made = (context: DerivedContext, owner: string | undefined) =>
    firstVersion(triageProvenance(triage, context, { targets, recorded }), {
      partnerId: owner,
      updatedAt: recorded,
      baseUrl,
    })
  const told = made(derived, partnerId)
  const { unnamed = [] } = derived
  if (unnamed.length === 0) return { told, ofClinic: [] }
  const whole: DerivedContext = {
    ...derived,
    idOf: (role) => derived.idOf(`of the clinic: ${role}`),
    inputs: [...derived.inputs, ...unnamed],
  }
  return { told, ofClinic: [made(whole, undefined)] }
}
