import type { WriteOperation } from '../fhir/operations.ts'
import { readVersion } from '../storage/resources.ts'
import { seeWholeClinic } from '../storage/scope.ts'
import type { Tx } from '../storage/transaction.ts'
import { type Asked, once } from './once.ts'
import { publishedResource } from './published.ts'
import type { Done } from './write.ts'

/** Writes one resource, or finds what the same request wrote before under its key. */
export async function doneOnce(
  tx: Tx,
  { operation, ...asked }: Asked & { readonly operation: WriteOperation },
  work: () => Promise<Done>,
): Promise<Done> {
  const done: Done[] = []
  const { body } = await once(tx, asked, async () => {
    const first = await work()
    done.push(first)
    return placeOf(first)
  })
  return done[0] ?? (await doneBefore(tx, asked, { operation, place: body }))
}

/** What is remembered of it: what became of it, and the version that was answered. */
function placeOf({ did, kept }: Done): string {
  if (kept === undefined) throw new Error('What was written is not kept')
  return JSON.stringify({ did, location: `${kept.type}/${kept.id}/_history/${kept.version}` })
}

const PLACE = /^\{"did":"(created|nothing)","location":"(\w+)\/([^/"]+)\/_history\/(\d+)"\}$/

async function doneBefore(
  tx: Tx,
  { context, caller: { clinicId } }: Asked,
  { operation, place }: { readonly operation: WriteOperation; readonly place: string },
): Promise<Done> {
  const [, did, type = '', id = '', version] = PLACE.exec(place) ?? []
  // Its sender is told of it although it closed the record; whether it may be is decided by now.
  if (type === 'Consent') await seeWholeClinic(tx)
  const kept =
    publishedResource(context, { type, id }) ??
    (await readVersion(tx, { clinicId, type, id, version: Number(version) }))
  if (kept === undefined) throw new Error('What was written before is not there')
  return { operation, did: did === 'created' ? did : 'nothing', kept, isRepeated: true }
}
