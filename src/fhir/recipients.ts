import { SYSTEMS } from './codes.ts'
import type { Communication, Identifier, Reference, Resource, Task } from './r4/types.ts'
import { isTyped } from './validate.ts'

/** A resource of the service that a message names, and whose compartment it is in. */
export interface KnownParty {
  readonly partnerId: string | undefined
  readonly resource: Resource | undefined
}

export interface Recipient {
  readonly expression: string
  /** As the message says it: nobody has looked whether there is such a partner. */
  readonly partnerId: string
}

/** Who reads for a partner; a child and its family are not the partner. */
const PARTIES: ReadonlySet<string> = new Set(['Organization', 'Practitioner', 'PractitionerRole'])

/** A message goes to its recipients, a Task to its owner. */
export type Addressed = Communication | Task

export interface Address {
  readonly expression: string
  readonly to: Reference
}

/** @param at where it stands */
export const addressesOf = (resource: Addressed, at: string): Address[] =>
  resource.resourceType === 'Task'
    ? [resource.owner ?? []].flat().map((to) => ({ expression: `${at}.owner`, to }))
    : (resource.recipient ?? []).map((to, index) => ({
        expression: `${at}.recipient[${index}]`,
        to,
      }))

/** In preparation it is not to be read yet. */
export const isPrepared = ({ status }: Addressed): boolean =>
  status === 'preparation' || status === 'draft'

/**
 * The partners that something is addressed to: by the identifier that the service gave them, in the reference
 * or in the Organization that it leads to, or by an Organization or a person of theirs that they sent.
 *
 * @param at   where it stands
 * @param find what a literal reference leads to
 */
export function recipientsOf(
  resource: Addressed,
  at: string,
  find: (reference: Reference) => KnownParty | undefined,
): Recipient[] {
  const { contained = [] } = resource
  return addressesOf(resource, at).flatMap(({ expression, to: one }): Recipient[] => {
    const { reference, identifier } = one
    const inside = contained.filter(isTyped).find(({ id }) => reference === `#${id}`)
    const known = find(one) ?? { partnerId: undefined, resource: inside }
    const isParty = known.resource !== undefined && PARTIES.has(known.resource.resourceType)
    const names = [
      ...(isParty && known.partnerId !== undefined ? [known.partnerId] : []),
      ...(identifier === undefined ? [] : [identifier])
        .concat(identifiersOf(known.resource))
        .flatMap(nameOf),
    ]
    return [...new Set(names)].map((partnerId) => ({ expression, partnerId }))
  })
}

const identifiersOf = (resource: Resource | undefined): readonly Identifier[] =>
  resource?.resourceType === 'Organization' ? (resource.identifier ?? []) : []

const nameOf = ({ system, value }: Identifier): string[] =>
  system === SYSTEMS.partner ? [value ?? ''] : []
