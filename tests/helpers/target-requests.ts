import { REGISTRY } from '../../src/fhir/registry.ts'
import type { Json } from './referral.ts'
import type { Sent } from './service.ts'

// How each interaction is asked about one resource.

export interface Target {
  readonly type: string
  readonly id: string
  /** What a write sends, as its sender could mean it: without an id, referring to what the sender has. */
  readonly content: Json
}

const FORM = { 'content-type': 'application/x-www-form-urlencoded' }
const PATCH = { 'content-type': 'application/json-patch+json' }
const UNSEEN = { 'if-match': 'W/"1"' }
const RENAME = [{ op: 'add', path: '/language', value: 'en' }]

const place = ({ type, id }: Target) => `/fhir/${type}/${id}`
const bundle = (type: 'batch' | 'transaction', request: Json): Sent => ({
  method: 'POST',
  url: '/fhir',
  body: { resourceType: 'Bundle', type, entry: [{ request }] },
})
const entry = (method: string, { type, id }: Target) => ({ method, url: `${type}/${id}` })
const needsVersion = new Set(
  REGISTRY.filter((row) => row.needsIfMatch === true).map(({ type }) => type as string),
)
const seen = ({ type }: Target) => (needsVersion.has(type) ? { headers: UNSEEN } : {})

/** Of every type that is kept. */
export const OF_EVERY_TYPE: Readonly<Record<string, (target: Target) => Sent>> = {
  read: (target) => ({ url: place(target), headers: { accept: 'application/fhir+json' } }),
  'read of its head': (target) => ({
    method: 'HEAD',
    url: place(target),
    headers: { accept: 'application/fhir+json' },
  }),
  'read if changed': (target) => ({
    url: place(target),
    headers: { accept: 'application/fhir+json', 'if-none-match': 'W/"1"' },
  }),
  vread: (target) => ({ url: `${place(target)}/_history/1` }),
  'history of it': (target) => ({ url: `${place(target)}/_history` }),
  'history of its type': ({ type }) => ({ url: `/fhir/${type}/_history?_count=20` }),
  search: ({ type, id }) => ({ url: `/fhir/${type}?_id=${id}` }),
  'search by form': ({ type, id }) => ({
    method: 'POST',
    url: `/fhir/${type}/_search`,
    headers: FORM,
    body: `_id=${id}`,
  }),
  create: ({ type, content }) => ({ method: 'POST', url: `/fhir/${type}`, body: content }),
  update: (target) => ({
    method: 'PUT',
    url: place(target),
    body: { ...target.content, id: target.id },
    ...seen(target),
  }),
  'update of a version': (target) => ({
    method: 'PUT',
    url: place(target),
    body: { ...target.content, id: target.id },
    headers: { 'if-match': 'W/"7"' },
  }),
  patch: (target) => ({
    method: 'PATCH',
    url: place(target),
    body: RENAME,
    headers: { ...PATCH, ...seen(target).headers },
  }),
  delete: (target) => ({ method: 'DELETE', url: place(target), ...seen(target) }),
  'delete of a version': (target) => ({
    method: 'DELETE',
    url: place(target),
    headers: { 'if-match': 'W/"7"' },
  }),
  'conditional create': ({ type, id, content }) => ({
    method: 'POST',
    url: `/fhir/${type}`,
    body: content,
    headers: { 'if-none-exist': `_id=${id}` },
  }),
  'conditional update': (target) => ({
    method: 'PUT',
    url: `/fhir/${target.type}?_id=${target.id}`,
    body: target.content,
    ...seen(target),
  }),
  'conditional patch': (target) => ({
    method: 'PATCH',
    url: `/fhir/${target.type}?_id=${target.id}`,
    body: RENAME,
    headers: { ...PATCH, ...seen(target).headers },
  }),
  'conditional delete': (target) => ({
    method: 'DELETE',
    url: `/fhir/${target.type}?_id=${target.id}`,
    ...seen(target),
  }),
  'read in a batch': (target) => bundle('batch', entry('GET', target)),
  'read in a transaction': (target) => bundle('transaction', entry('GET', target)),
  'search in a batch': ({ type, id }) =>
    bundle('batch', { method: 'GET', url: `${type}?_id=${id}` }),
  'delete in a transaction': (target) => bundle('transaction', entry('DELETE', target)),
  $validate: (target) => ({ url: `${place(target)}/$validate` }),
  '$validate of its deletion': (target) => ({
    method: 'POST',
    url: `${place(target)}/$validate?mode=delete`,
  }),
}

/** Of one type, or of all that there is. */
export const OF_ONE_TYPE: Readonly<
  Record<string, Readonly<Record<string, (target: Target) => Sent>>>
> = {
  Patient: {
    $everything: (target) => ({ url: `${place(target)}/$everything` }),
    '$chart of a child': (target) => ({ url: `${place(target)}/$chart?kind=urgency` }),
    '$apply of the referral plan': ({ id }) => ({
      url: `/fhir/PlanDefinition/orthotic-referral/$apply?subject=Patient/${id}`,
    }),
    '$populate of the intake': ({ id }) => ({
      url: `/fhir/Questionnaire/referral-intake/$populate?subject=Patient/${id}`,
    }),
    '$populate by canonical': ({ id }) => ({
      url: `/fhir/Questionnaire/$populate?questionnaire=https://footing.example/fhir/Questionnaire/referral-intake&subject=Patient/${id}`,
    }),
    $docref: ({ id }) => ({ url: `/fhir/DocumentReference/$docref?patient=${id}` }),
    // Asked with a child that the caller may know of: the match answers by what is in the caller's sight.
    $match: ({ content }) => ({ method: 'POST', url: '/fhir/Patient/$match', body: content }),
    'search of its compartment': (target) => ({ url: `${place(target)}/Observation` }),
    'search of all its compartment': (target) => ({ url: `${place(target)}/*` }),
    '$everything of all': () => ({ url: '/fhir/Patient/$everything?_count=20' }),
    '$export of children': () => ({ url: '/fhir/Patient/$export' }),
    '$export of all': () => ({ url: '/fhir/$export' }),
    'history of all': () => ({ url: '/fhir/_history?_count=20' }),
    'search of all': ({ id }) => ({ url: `/fhir/?_type=Patient,Observation&_id=${id}` }),
  },
  Composition: { $document: (target) => ({ url: `${place(target)}/$document` }) },
  Group: { '$export of a group': (target) => ({ url: `${place(target)}/$export` }) },
  ServiceRequest: {
    $triage: (target) => ({ method: 'POST', url: `${place(target)}/$triage` }),
    '$fitting-plan': (target) => ({ url: `${place(target)}/$fitting-plan` }),
    '$follow-up': (target) => ({ url: `${place(target)}/$follow-up` }),
    $chart: (target) => ({ url: `${place(target)}/$chart?kind=urgency` }),
    $documents: (target) => ({ url: `${place(target)}/$documents?kind=reply` }),
    '$sign-off': (target) => ({
      method: 'POST',
      url: `${place(target)}/$sign-off?kind=reply&person=Practitioner/unknown`,
    }),
    '$accept-plan': (target) => ({ method: 'POST', url: `${place(target)}/$accept-plan` }),
    $decisions: (target) => ({ url: `${place(target)}/$decisions` }),
  },
  QuestionnaireResponse: {
    $extract: (target) => ({ url: `${place(target)}/$extract` }),
    '$extract of what is sent': ({ content }) => ({
      method: 'POST',
      url: '/fhir/QuestionnaireResponse/$extract',
      body: content,
    }),
  },
  Task: { $next: () => ({ url: '/fhir/Task/$next' }) },
  Library: { '$what-if': (target) => ({ url: `${place(target)}/$what-if` }) },
}

export const interactionsOf = (type: string): [string, (target: Target) => Sent][] => [
  ...Object.entries(OF_EVERY_TYPE),
  ...Object.entries(OF_ONE_TYPE[type] ?? {}),
]
