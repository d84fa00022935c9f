import { randomUUID } from 'node:crypto'
import { z } from 'zod'
import type { Json, Parts } from './referral.ts'
import { type Answer, ORIGIN } from './service.ts'

// Calls of CDS Hooks 2.0 as a records system sends them, typed from its text, and what it demands of an answer.

export const VIEW = '/cds-services/orthotic-referral-view'
export const SIGN = '/cds-services/orthotic-referral-sign'
export const addressOf = (path: string): string => `${ORIGIN}${path}`

export const CHILD_ID = 'child-1'

/** A resource as the records system keeps it: with its own id, about its own patient. */
export const keptThere = (resource: Json, id: string, patientId = CHILD_ID): Json => {
  const { requester, insurance, supportingInfo, ...rest } = resource
  const subject = { reference: `Patient/${patientId}` }
  return { ...rest, id, ...('subject' in rest ? { subject } : {}) }
}

export const searchset = (resources: readonly Json[], more: Json = {}): Json => ({
  resourceType: 'Bundle',
  type: 'searchset',
  entry: resources.map((resource) => ({ resource, search: { mode: 'match' } })),
  ...more,
})

/** What the queries of discovery find about the child of a referral that was not sent yet. */
export function prefetchOf(parts: Parts, patientId = CHILD_ID): Json {
  const kept = [...parts].map(([name, { resource }]) =>
    keptThere(resource, resource['resourceType'] === 'Patient' ? patientId : name, patientId),
  )
  const of = (type: string) => kept.filter(({ resourceType }) => resourceType === type)
  return {
    patient: of('Patient')[0],
    observations: searchset(of('Observation')),
    conditions: searchset(of('Condition')),
    referrals: null,
  }
}

export const viewCall = (prefetch: Json, change: Json = {}): Json => ({
  hook: 'patient-view',
  hookInstance: randomUUID(),
  fhirServer: 'https://records.example/fhir',
  context: { userId: 'Practitioner/therapist-1', patientId: CHILD_ID },
  prefetch,
  ...change,
})

export const signCall = (prefetch: Json, drafts: readonly Json[], change: Json = {}): Json => ({
  ...viewCall(prefetch),
  hook: 'order-sign',
  context: {
    userId: 'Practitioner/therapist-1',
    patientId: CHILD_ID,
    draftOrders: {
      resourceType: 'Bundle',
      type: 'collection',
      entry: drafts.map((resource) => ({ resource })),
    },
  },
  ...change,
})

const filled = z.string().min(1)
const Coding = z.strictObject({ system: filled, code: filled, display: filled })
const Written = z.strictObject({
  type: z.enum(['create', 'update']),
  description: filled,
  resource: z.looseObject({ resourceType: filled }),
})
const Deleted = z.strictObject({
  type: z.literal('delete'),
  description: filled,
  resourceId: filled,
})
const Suggestion = z.strictObject({
  label: filled,
  uuid: z.guid(),
  isRecommended: z.boolean().optional(),
  actions: z.array(z.union([Written, Deleted])).min(1),
})
const Link = z
  .strictObject({
    label: filled,
    url: z.url(),
    type: z.enum(['absolute', 'smart']),
    appContext: filled.optional(),
  })
  .refine(({ type, appContext }) => type === 'smart' || appContext === undefined)
const CardShape = z
  .strictObject({
    uuid: z.guid(),
    summary: filled.max(139),
    detail: filled.optional(),
    indicator: z.enum(['info', 'warning', 'critical']),
    source: z.strictObject({ label: filled, url: z.url().optional(), topic: Coding.optional() }),
    suggestions: z.array(Suggestion).min(1).optional(),
    selectionBehavior: z.enum(['at-most-one', 'any']).optional(),
    overrideReasons: z.array(Coding).min(1).optional(),
    links: z.array(Link).min(1).optional(),
  })
  .refine(
    ({ suggestions = [], selectionBehavior }) =>
      suggestions.length > 0 === (selectionBehavior !== undefined),
  )
  .refine(
    ({ suggestions = [] }) =>
      suggestions.filter(({ isRecommended }) => isRecommended === true).length < 2,
  )
const Response = z.strictObject({ cards: z.array(CardShape) })

/**
 * An answer, held to what the text of CDS Hooks 2.0 ("CDS Service Response") demands, from memory: a list of cards, if an empty one; a summary of less
 * than 140 characters; one of three indicators; a source with a label; unique ids; a way to select among
 * suggestions exactly where there are some; actions that are described, with a resource to write or the id of one
 * to delete; at most one recommendation where one may be chosen; reasons that are displayed; links that are
 * absolute, or with a context for an app alone; and nothing that is null or empty.
 */
export function cardsOf({ status, text, headers }: Answer) {
  if (status !== 200) throw new Error(`No cards but ${status}: ${text}`)
  if (!String(headers['content-type']).startsWith('application/json'))
    throw new Error('Cards are application/json')
  const { cards } = Response.parse(JSON.parse(text, refuseEmpty))
  const ids = cards.flatMap(({ uuid, suggestions = [] }) => [
    uuid,
    ...suggestions.map((suggestion) => suggestion.uuid),
  ])
  if (new Set(ids).size < ids.length) throw new Error('An id is given twice')
  return cards
}

function refuseEmpty(key: string, value: unknown): unknown {
  const isEmpty =
    value === null ||
    value === '' ||
    (Array.isArray(value) && value.length === 0 && key !== 'cards') ||
    (typeof value === 'object' && !Array.isArray(value) && Object.keys(value).length === 0)
  if (isEmpty) throw new Error(`${key} is empty`)
  return value
}
