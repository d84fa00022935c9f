import { AppError } from '../errors.ts'
import { type Person, personOf } from '../fhir/people.ts'
import type { SignOffParameters } from '../fhir/document-parameters.ts'
import type { Caller } from '../security/access-token.ts'
import { readResource } from '../storage/resources.ts'
import type { Tx } from '../storage/transaction.ts'
import { namedIn } from './document-facts.ts'
import { readEntry } from './referral-record.ts'

/** Who signs a document off, with the name and the qualification that the clinic recorded. */
export interface Signer extends Person {
  readonly reference: string
  readonly name: string
}

/**
 * The person of the clinic who signs off. Somebody without a name or a qualification on record does not: the
 * document would not say who is answerable for it. The transaction sees the whole clinic.
 */
export async function signerOf(
  tx: Tx,
  { clinicId }: Caller,
  { type, id }: SignOffParameters['person'],
  baseUrl: string,
): Promise<Signer> {
  const stored = await readResource(tx, { clinicId, type, id })
  // A partner's people are not the clinic's; they are answered as if they were not there.
  if (stored === undefined || stored.deleted || stored.partnerId !== undefined)
    throw refused(`The person must be a ${type} of the clinic.`)
  const reference = `${type}/${id}`
  const { resource } = readEntry(stored)
  const people = await namedIn(tx, clinicId, [resource], baseUrl)
  const known = new Map([...people, [reference, resource] as const])
  const person = personOf({ reference }, (place) => known.get(place), baseUrl)
  if (person?.name === undefined) throw refused('The person has no name on record.')
  if (person.qualifications.length === 0)
    throw refused('The person has no qualification on record.')
  return { ...person, reference, name: person.name }
}

const refused = (text: string): AppError =>
  new AppError('business-rule', 'The document cannot be signed off so.', [
    {
      severity: 'error',
      code: 'business-rule',
      expression: 'http.person',
      rule: 'signer',
      text,
    },
  ])
