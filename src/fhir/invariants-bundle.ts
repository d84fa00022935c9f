import { distinct, every, has, type Invariant, invariant } from './invariant.ts'
import type { Bundle } from './r4/types.ts'

const REQUESTS: ReadonlySet<string> = new Set(['batch', 'transaction', 'history'])
const RESPONSES: ReadonlySet<string> = new Set([
  'batch-response',
  'transaction-response',
  'history',
])

function firstIs({ entry }: Bundle, type: string): boolean {
  return entry?.[0]?.resource?.resourceType === type
}

export const BUNDLE_INVARIANTS: readonly Invariant[] = [
  invariant(
    'Bundle',
    ['bdl-1', 'total is for searchset and history only'],
    (bundle) => !has(bundle, 'total') || bundle.type === 'searchset' || bundle.type === 'history',
  ),
  invariant(
    'Bundle',
    ['bdl-2', 'entry.search is for searchset only'],
    (bundle) =>
      bundle.type === 'searchset' || every(bundle.entry, ({ search }) => search === undefined),
  ),
  invariant(
    'Bundle',
    ['bdl-3', 'Every entry of a batch, transaction or history has a request, no other has'],
    ({ type, entry }) =>
      every(entry, ({ request }) => (request !== undefined) === REQUESTS.has(type)),
  ),
  invariant(
    'Bundle',
    ['bdl-4', 'Every entry of a response or history has a response, no other has'],
    ({ type, entry }) =>
      every(entry, ({ response }) => (response !== undefined) === RESPONSES.has(type)),
  ),
  invariant(
    'Bundle.entry',
    ['bdl-5', 'An entry has a resource, a request or a response'],
    ({ resource, request, response }) =>
      resource !== undefined || request !== undefined || response !== undefined,
  ),
  invariant(
    'Bundle',
    ['bdl-7', 'A fullUrl stands once, or with different versions'],
    (bundle) =>
      bundle.type === 'history' ||
      distinct(bundle.entry, ({ fullUrl, resource }) =>
        fullUrl === undefined ? undefined : `${fullUrl} ${resource?.meta?.versionId ?? ''}`,
      ),
  ),
  invariant(
    'Bundle.entry',
    ['bdl-8', 'A fullUrl must not name a version'],
    ({ fullUrl }) => fullUrl?.includes('/_history/') !== true,
  ),
  invariant(
    'Bundle',
    ['bdl-9', 'A document needs an identifier with system and value'],
    ({ type, identifier }) =>
      type !== 'document' ||
      (identifier !== undefined && has(identifier, 'system') && has(identifier, 'value')),
  ),
  invariant(
    'Bundle',
    ['bdl-10', 'A document needs a timestamp'],
    ({ type, timestamp }) => type !== 'document' || timestamp !== undefined,
  ),
  invariant(
    'Bundle',
    ['bdl-11', 'A document starts with a Composition'],
    (bundle) => bundle.type !== 'document' || firstIs(bundle, 'Composition'),
  ),
  invariant(
    'Bundle',
    ['bdl-12', 'A message starts with a MessageHeader'],
    (bundle) => bundle.type !== 'message' || firstIs(bundle, 'MessageHeader'),
  ),
]
