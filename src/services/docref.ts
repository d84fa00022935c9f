import { askedDocuments, documentsAsked } from '../fhir/docref.ts'
import { parseQuery } from '../fhir/query.ts'
import type { Caller } from '../security/access-token.ts'
import { readOfChild } from '../storage/resources.ts'
import type { Context } from './context.ts'
import { noteShown } from './noted.ts'
import { readEntry } from './referral-record.ts'
import { keptType } from './resources.ts'
import { readingOf } from './search-plan.ts'
import { searchSetOf } from './search-set.ts'
import { reading } from './unit-of-work.ts'

const TYPE = 'DocumentReference'
const NEEDS = [
  { type: 'Patient', letter: 'r' },
  { type: TYPE, letter: 'r' },
  { type: TYPE, letter: 's' },
] as const

/**
 * The documents about a child that are in the caller's sight, as DocumentReference/$docref of US Core has it. Of
 * a child that is not in sight there are none, as of one that there is not.
 *
 * @returns a searchset Bundle as JSON
 */
export async function documentsOf(
  context: Context,
  caller: Caller,
  parameters: readonly (readonly [string, string])[],
): Promise<string> {
  const asked = askedDocuments(parameters)
  const { baseUrl } = context
  const kept = await reading(context, caller, NEEDS, (tx) =>
    readOfChild(tx, caller.clinicId, asked.patientId, [TYPE]),
  )
  const found = documentsAsked(
    kept.flatMap((stored) => {
      const { resource } = readEntry(stored)
      return resource.resourceType === TYPE
        ? [{ stored, resource, updatedAt: stored.updatedAt }]
        : []
    }),
    asked,
  ).map(({ stored }) => stored)
  noteShown(caller, found)
  const query = new URLSearchParams(
    parameters.map(([name, value]): [string, string] => [name, value]),
  )
  return searchSetOf({
    baseUrl,
    self: `${baseUrl}/${TYPE}/$docref?${query.toString()}`,
    next: undefined,
    total: found.length,
    found,
    included: [],
    query: parseQuery(keptType(TYPE), [], { ...readingOf(context), handling: 'strict' }),
  })
}
