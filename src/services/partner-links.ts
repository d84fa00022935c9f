import { isDeepStrictEqual } from 'node:util'
import { AppError, type Fault } from '../errors.ts'
import { ownTarget } from '../fhir/literal-reference.ts'
import { referencesIn } from '../fhir/reference-map.ts'
import type { Caller } from '../security/access-token.ts'
import { readResources } from '../storage/resources.ts'
import type { Tx } from '../storage/transaction.ts'
import type { Context } from './context.ts'
import type { Content } from './new-contents.ts'
import { readEntry } from './referral-record.ts'
import { referencesBefore } from './references-before.ts'

/**
 * Staff see every partner's copy of a child, a partner sees its own alone. What staff add to a copy must
 * not tell its partner that another one knows the child: no link leads out of its compartment, and no
 * reference to what another partner sent. What stood there before is the partner's own and stays.
 */
export async function refuseTellingPartners(
  tx: Tx,
  { baseUrl }: Context,
  caller: Caller,
  contents: readonly Content[],
): Promise<void> {
  if (caller.partnerId !== undefined) return
  const added = contents.flatMap((content) =>
    addedReferences(content).map((one) => ({
      ...one,
      target: ownTarget(one.reference, baseUrl),
      owner: content.current?.partnerId,
    })),
  )
  if (added.length === 0) return
  const kept = await readResources(
    tx,
    caller.clinicId,
    added.flatMap(({ target }) => target ?? []),
  )
  // What is created in the same transaction is the clinic's own.
  const owners = new Map(kept.map(({ type, id, partnerId }) => [`${type}/${id}`, partnerId]))
  const faults = added.flatMap(({ expression, isLink, target, owner }): Fault[] => {
    const its = target === undefined ? undefined : owners.get(`${target.type}/${target.id}`)
    const tells = isLink ? its !== owner : its !== undefined && its !== owner
    return tells ? [tellingFault(expression)] : []
  })
  if (faults.length > 0)
    throw new AppError('business-rule', "The copy is a partner's, who does not see this.", faults)
}

interface AddedReference {
  readonly expression: string
  readonly reference: string | undefined
  /** Of Patient.link: also one that is no literal reference. */
  readonly isLink: boolean
}

/** What staff add to a resource of a partner. */
function addedReferences({ resource, current, operation }: Content): AddedReference[] {
  if (resource === undefined || current?.partnerId === undefined) return []
  const stood = referencesBefore(current)
  const { resourceAt } = operation
  const added = referencesIn(resource, resourceAt)
    .filter(({ reference }) => !stood.has(reference))
    .map((one) => ({ ...one, isLink: false }))
  if (resource.resourceType !== 'Patient') return added
  const before = current.deleted ? undefined : readEntry(current).resource
  const linked = before?.resourceType === 'Patient' ? (before.link ?? []) : []
  const links = (resource.link ?? []).flatMap((link, index) =>
    linked.some((one) => isDeepStrictEqual(one, link))
      ? []
      : [
          {
            expression: `${resourceAt}.link[${index}].other`,
            reference: link.other.reference,
            isLink: true,
          },
        ],
  )
  const isInLink = ({ expression }: AddedReference) => expression.startsWith(`${resourceAt}.link[`)
  return [...added.filter((one) => !isInLink(one)), ...links]
}

const tellingFault = (expression: string): Fault => ({
  severity: 'error',
  code: 'business-rule',
  expression,
  rule: 'partner-compartment',
  text: "This is a partner's copy and would name what the partner may not see. Link from the clinic's own Patient to the copies of its partners instead.",
})
