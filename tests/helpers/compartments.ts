import { randomUUID } from 'node:crypto'
import { parseText } from '../../src/fhir/json-body.ts'
import { REGISTRY } from '../../src/fhir/registry.ts'
import { searchValues } from '../../src/fhir/search-values.ts'
import { insertVersions, type NewVersion } from '../../src/storage/resource-writes.ts'
import { ownExamples } from './own-examples.ts'
import { smallReferral } from './referral.ts'
import type { TestService, Who } from './service.ts'

// Two clinics; in each what its staff and its partners have: one resource of every type, and in each of
// them a word that nobody else may ever read.

export interface Planted {
  readonly type: string
  readonly id: string
  /** As it is kept. */
  readonly text: string
}

export interface Compartment {
  readonly name: string
  readonly owner: Who
  readonly baseUrl: string
  /** Stands in names, identifiers and texts of everything that is here, and nowhere else. */
  readonly canary: string
  /** One of every type that it may hold, each referring to others of them. */
  readonly planted: ReadonlyMap<string, Planted>
}

export interface Compartments {
  readonly staff: Compartment
  readonly partner: Compartment
  readonly otherPartner: Compartment
  readonly staffElsewhere: Compartment
  readonly partnerElsewhere: Compartment
}

const rows = new Map(REGISTRY.map((row) => [row.type as string, row]))
const COMPUTED = new Set(['AuditEvent'])
/** Valid resources of every type that is kept in a table. */
const EXAMPLES = ownExamples()
  .filter(({ type }) => rows.get(type)?.published !== true)
  // Of a treatment, not of what may be passed on: whatever is done to it closes no record.
  .map((one) =>
    one.type === 'Consent'
      ? { ...one, text: one.text.replaceAll('patient-privacy', 'treatment') }
      : one,
  )
/** What is asked of a referral needs one; a single one, since each is computed with every fact of its child. */
const REFERRAL = JSON.stringify({
  ...smallReferral({ key: 'planted' }).get('referral')?.resource,
  id: EXAMPLES.find(({ type }) => type === 'ServiceRequest')?.place.split('/')[1],
  subject: { reference: 'Patient/example-child' },
})

/** An id of the form that the service gives: of version 8 where it computes. */
export const newPlantedId = (type: string): string => {
  const id = randomUUID()
  return COMPUTED.has(type) ? `${id.slice(0, 14)}8${id.slice(15)}` : id
}

/** One of every type under new ids, with a word in it; what they refer to is in `kept`, or in themselves. */
export function resourcesWith(
  canary: string,
  types: readonly string[],
  kept?: ReadonlyMap<string, Planted>,
): Map<string, Planted> {
  const chosen = EXAMPLES.filter(({ type }) => types.includes(type))
  const ids = new Map(chosen.map(({ type }) => [type, newPlantedId(type)]))
  const idOf = (type: string) => kept?.get(type)?.id ?? ids.get(type) ?? 'none'
  return new Map(
    chosen.map(({ type, place, text }) => {
      const id = ids.get(type) ?? ''
      const own = (kept === undefined && type === 'ServiceRequest' ? REFERRAL : text)
        .replaceAll(/("(?:reference)"\s*:\s*")([A-Z]\w+)\/[\w-]+"/g, (_all, key, target) =>
          idOf(String(target)) === 'none'
            ? `${String(key)}https://other.example/fhir/${String(target)}/x"`
            : `${String(key)}${String(target)}/${idOf(String(target))}"`,
        )
        .replaceAll(/("value"\s*:\s*)"[^"]*"/g, (all, key) =>
          type === 'Library' ? all : `${String(key)}"${canary}"`,
        )
        .replaceAll(/("(?:family|name|text|title|city)"\s*:\s*")([^"]+")/g, (all, key, value) =>
          type === 'Library' ? all : `${String(key)}${canary} ${String(value)}`,
        )
        .replace(`"${place.split('/')[1] ?? ''}"`, `"${id}"`)
      return [type, { type, id, text: own }]
    }),
  )
}

/** A service with clinics in it. */
export type Planting = Pick<TestService, 'service' | 'clinic'>

function stored(
  { baseUrl, now }: Planting['service']['context'],
  { type, id, text }: Planted,
  partnerId: string | undefined,
): NewVersion {
  const parsed = parseText(text)
  if (!parsed.ok || typeof parsed.value !== 'object' || parsed.value === null)
    throw new Error(`An example of ${type} cannot be read`)
  return {
    type,
    id,
    version: 1,
    partnerId,
    deleted: false,
    body: text,
    updatedAt: now().toISOString(),
    search: searchValues({ type, id, baseUrl }, parsed.value),
  }
}

/** Keeps them as the owner's, whoever may write their type. */
export async function plant(
  { service }: Planting,
  { clinicId, partnerId }: Who,
  resources: Iterable<Planted>,
): Promise<void> {
  const scope = { clinicId, ...(partnerId === undefined ? {} : { partnerId }) }
  await service.context.db.inClinic(scope, (tx) =>
    insertVersions(
      tx,
      clinicId,
      [...resources].map((one) => stored(service.context, one, partnerId)),
    ),
  )
}

/** What staff may have, and what a partner may. */
export const typesOf = ({ partnerId }: Who): string[] =>
  EXAMPLES.map(({ type }) => type).filter(
    (type) => partnerId === undefined || rows.get(type)?.staffOnly !== true,
  )

async function compartment(service: Planting, name: string, owner: Who): Promise<Compartment> {
  const canary = `canary${randomUUID().replaceAll('-', '').slice(0, 14)}`
  const planted = resourcesWith(canary, typesOf(owner))
  await plant(service, owner, planted.values())
  return { name, owner, baseUrl: service.service.context.baseUrl, canary, planted }
}

export async function compartments(service: Planting): Promise<Compartments> {
  const here = await service.clinic()
  const elsewhere = await service.clinic()
  return {
    staff: await compartment(service, 'the staff', here.staff),
    partner: await compartment(service, 'a partner', here.partner),
    otherPartner: await compartment(service, 'another partner', here.other),
    staffElsewhere: await compartment(service, 'the staff of another clinic', elsewhere.staff),
    partnerElsewhere: await compartment(service, 'a partner of another clinic', elsewhere.partner),
  }
}
