import { parseText } from '../fhir/json-body.ts'
import { REGISTRY } from '../fhir/registry.ts'
import { searchSignature } from '../fhir/search-signature.ts'
import { searchValues } from '../fhir/search-values.ts'
import type { Database } from '../storage/database.ts'
import { serialise } from '../storage/idempotency.ts'
import { placesAfter, type Rewritten, rewriteIndex } from '../storage/index-rewrites.ts'
import {
  type IndexKey,
  type IndexPlace,
  listClinicIds,
  readIndexState,
  writeIndexState,
} from '../storage/index-states.ts'
import { readResources, type StoredVersion } from '../storage/resources.ts'
import type { Tx } from '../storage/transaction.ts'
import { changeOf } from './current-versions.ts'

/** So many resources are written in one transaction. */
const BATCH = 200

/**
 * Writes the index of every clinic anew that was written with other search parameters than we have now.
 * Answers of how many resources. What was done stays done when it is broken off, and of two instances that
 * start together each does some of it.
 */
export async function reindex(db: Database, baseUrl: string): Promise<number> {
  const signature = searchSignature()
  let count = 0
  for (const clinicId of await db.asOwner(listClinicIds)) {
    let written: number | 'all'
    do {
      written = await db.inClinic({ clinicId }, (tx) =>
        writeBatch(tx, { clinicId, signature, baseUrl }),
      )
      if (written !== 'all') count += written
    } while (written !== 'all')
  }
  return count
}

interface Batch {
  readonly clinicId: string
  readonly signature: string
  readonly baseUrl: string
}

/** Writes what comes next of a clinic; answers of how many resources, or that all are written. */
async function writeBatch(
  tx: Tx,
  { clinicId, signature, baseUrl }: Batch,
): Promise<number | 'all'> {
  await serialise(tx, [`reindex ${clinicId}`])
  const state = await readIndexState(tx, clinicId)
  const ours = state?.signature === signature ? state : undefined
  if (ours !== undefined && ours.reached === undefined) return 'all'
  const keys = await nextPlaces(tx, clinicId, ours?.reached)
  await rewriteIndex(tx, clinicId, await currentValues(tx, { clinicId, baseUrl, keys }))
  const reached = keys.length < BATCH ? undefined : keys.at(-1)
  await writeIndexState(
    tx,
    clinicId,
    reached === undefined ? { signature } : { signature, reached },
  )
  return keys.length
}

const TYPES = REGISTRY.map(({ type }) => type).toSorted()

/** As many as are written at once, or all that are left; across types. */
async function nextPlaces(
  tx: Tx,
  clinicId: string,
  reached: IndexPlace | undefined,
): Promise<IndexPlace[]> {
  const places: IndexPlace[] = []
  for (const type of TYPES.filter((one) => reached === undefined || one >= reached.type)) {
    const after = type === reached?.type ? reached : undefined
    places.push(...(await placesAfter(tx, clinicId, { type, after }, BATCH - places.length)))
    if (places.length === BATCH) break
  }
  return places
}

/** Locked against changes as a write does it, and read after that. */
async function currentValues(
  tx: Tx,
  {
    clinicId,
    baseUrl,
    keys,
  }: { readonly clinicId: string; readonly baseUrl: string; readonly keys: readonly IndexKey[] },
): Promise<Rewritten[]> {
  await serialise(
    tx,
    keys.map((key) => changeOf(clinicId, key)),
  )
  const found = await readResources(tx, clinicId, keys)
  return found.filter(({ deleted }) => !deleted).map((version) => rewritten(version, baseUrl))
}

function rewritten({ type, id, partnerId, body }: StoredVersion, baseUrl: string): Rewritten {
  const parsed = parseText(body)
  if (!parsed.ok || typeof parsed.value !== 'object' || parsed.value === null)
    throw new Error(`What is stored as a ${type} cannot be read`)
  return {
    type,
    id,
    partnerId,
    search: searchValues({ type, id, partnerId, baseUrl }, parsed.value),
  }
}
