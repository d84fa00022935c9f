import { AppError, type Fault } from '../errors.ts'
import {
  isForeign,
  isNoPlace,
  ownTarget,
  type Target,
  versionNamed,
} from '../fhir/literal-reference.ts'
import { referencesIn } from '../fhir/reference-map.ts'
import type { Caller } from '../security/access-token.ts'
import { closedAt } from '../storage/closed-records.ts'
import { existingVersions, readResources } from '../storage/resources.ts'
import type { Tx } from '../storage/transaction.ts'
import { conditionalFault, isConditional } from './conditional-references.ts'
import type { Context } from './context.ts'
import type { Referring } from './new-contents.ts'
import { publishedResource } from './published.ts'
import { referencesBefore } from './references-before.ts'

const placeOf = ({ id, operation: { type } }: Referring): string => `${type}/${id}`
const keyOf = ({ type, id }: Target): string => `${type}/${id}`

interface Found {
  readonly expression: string
  readonly reference: string
  /** The type that refers. */
  readonly by: string
  /** The write that it stands in. */
  readonly from: Referring
}

interface OwnReference extends Found, Target {}

/**
 * Every reference to a resource of this service leads to one that the caller sees, or that is written too, and
 * where it names a version to one that there is.
 *
 * @returns whether something is written about a record that is closed to the caller
 */
export async function refuseDangling(
  tx: Tx,
  context: Context,
  { clinicId }: Caller,
  contents: readonly Referring[],
): Promise<boolean> {
  const { baseUrl } = context
  const isDeletion = ({ operation }: Referring) => operation.kind === 'delete'
  const written = new Map(
    contents.filter((one) => !isDeletion(one)).map((one) => [placeOf(one), newestOf(one)]),
  )
  // Also of what is not there: a deletion that does nothing makes nothing to refer to.
  const deleted = new Set(contents.filter(isDeletion).map(placeOf))
  const references = contents.flatMap(referencesOf)
  const own = references.flatMap((one): OwnReference[] => {
    const target = ownTarget(one.reference, baseUrl)
    return target === undefined ? [] : [{ ...one, ...target }]
  })
  const published = (one: OwnReference) => publishedResource(context, one)
  const elsewhere = own.filter((one) => !written.has(keyOf(one)) && published(one) === undefined)
  const known = await existingVersions(tx, clinicId, elsewhere)
  const missing = elsewhere.filter((one) => !known.has(keyOf(one)))
  const left = await leftBehind(tx, clinicId, missing)
  const absent = missing.filter((one) => !left.has(one))
  const heard = await heardOf(tx, context, clinicId, absent)
  const newest = (one: OwnReference) =>
    written.get(keyOf(one)) ?? known.get(keyOf(one)) ?? published(one)?.version
  const leading = (one: Found) => ownTarget(one.reference, baseUrl) !== undefined
  const faults = [
    ...references.filter(({ reference }) => isNoPlace(reference)).map(noPlaceFault),
    ...references
      .filter((one) => !isForeign(one.reference, baseUrl) && !leading(one))
      .map((one) => (isConditional(one) ? conditionalFault(one) : danglingFault(one))),
    ...absent.filter((one) => !heard.has(one)).map(danglingFault),
    ...elsewhere
      .filter((one) => known.has(keyOf(one)) && deleted.has(keyOf(one)))
      .map(danglingFault),
    ...own.filter((one) => !isOfAny(one, newest(one))).map(versionFault),
  ]
  if (faults.length === 0) return heard.size > 0
  throw new AppError('invalid-resource', 'A reference leads nowhere.', faults)
}

function referencesOf(from: Referring): Found[] {
  const { resource, operation } = from
  if (resource === undefined) return []
  const found = referencesIn(resource, operation.resourceAt)
  return found.map((one) => ({ ...one, by: operation.type, from }))
}

/**
 * What the version before said too, of what was deleted since: a Provenance holds no deletion up, and goes on telling
 * of the version that it tells of, which is still read (R4 3.1.0.7).
 */
async function leftBehind(
  tx: Tx,
  clinicId: string,
  missing: readonly OwnReference[],
): Promise<ReadonlySet<OwnReference>> {
  const before = new Map(
    [...new Set(missing.map(({ from }) => from))].map(
      (from) => [from, referencesBefore(from.current)] as const,
    ),
  )
  const repeated = missing.filter(
    ({ from, reference }) => before.get(from)?.has(reference) ?? false,
  )
  if (repeated.length === 0) return new Set()
  const rows = await readResources(tx, clinicId, repeated)
  const deleted = new Set(rows.filter((row) => row.deleted).map(keyOf))
  return new Set(repeated.filter((one) => deleted.has(keyOf(one))))
}

/** The version that a write leaves; undefined where it is not looked at. */
function newestOf({ operation, found, current }: Referring): number | undefined {
  if (found !== undefined) return found.version
  if (operation.kind === 'create') return 1
  return current === undefined ? undefined : current.version + 1
}

/** Versions are counted from 1, without a gap. */
function isOfAny({ reference }: OwnReference, newest: number | undefined): boolean {
  const version = versionNamed(reference)
  if (version === undefined || newest === undefined) return true
  return /^[1-9]\d{0,8}$/.test(version) && Number(version) <= newest
}

const faultOf =
  (code: string, text: string) =>
  ({ expression }: Found): Fault => ({
    severity: 'error',
    code,
    expression,
    rule: 'reference-exists',
    text,
  })

const danglingFault = faultOf(
  'not-found',
  'This reference names neither an entry of the Bundle nor a resource that is kept here.',
)
const versionFault = faultOf(
  'not-found',
  'This reference names a version that the resource does not have: name one that it has, or none.',
)
const noPlaceFault = faultOf(
  'value',
  'A reference is a URL at which a resource is found, a urn or a fragment (R4 2.3.0.1).',
)

/**
 * A record that is closed to its partner is as absent, but for a consent and whoever gives it: a refusal must
 * always be heard, and a new consent opens it again.
 */
async function heardOf(
  tx: Tx,
  { now }: Context,
  clinicId: string,
  absent: readonly OwnReference[],
): Promise<ReadonlySet<OwnReference>> {
  const about = absent.filter(({ type, by }) => type === 'Patient' && HEARD.has(by))
  const patientIds = about.map(({ id }) => id)
  const closed = await closedAt(tx, clinicId, { patientIds, at: now().toISOString() })
  return new Set(about.filter(({ id }) => closed.has(id)))
}

const HEARD: ReadonlySet<string> = new Set(['Consent', 'RelatedPerson'])
