import { z } from 'zod'
import { AppError } from '../errors.ts'
import type { Query } from '../fhir/query.ts'
import { parameterFault } from '../fhir/query-values.ts'
import type { Caller } from '../security/access-token.ts'
import { openedText, sealedText } from '../security/sealed-text.ts'
import type { Page } from '../storage/search.ts'
import type { PagePlace } from '../storage/search-order.ts'
import type { Context } from './context.ts'

/** A search at its address: the path below the base, and what is asked. */
export interface AddressedQuery {
  readonly path: string
  readonly query: Query
}

type Pairs = readonly (readonly [string, string])[]

function linkTo({ baseUrl }: Context, path: string, pairs: Pairs): string {
  const url = path === '' ? baseUrl : `${baseUrl}/${path}`
  const query = new URLSearchParams(pairs.map(([name, value]): [string, string] => [name, value]))
  return query.size === 0 ? url : `${url}?${query.toString()}`
}

/** The parameters that were really used; also after a form it works by GET. */
export const selfLink = (context: Context, { path, query }: AddressedQuery): string =>
  linkTo(context, path, query.used)

/** Of what is published, everybody sees the same. */
type Asker = Pick<Caller, 'clinicId' | 'partnerId'> | undefined

/** A page of one clinic, address or filter is no page of another. */
const bindingOf = (context: Context, asker: Asker, asked: AddressedQuery): string =>
  `search ${asker?.clinicId ?? ''} ${asker?.partnerId ?? ''} ${selfLink(context, asked)}`

const Place = z.tuple([
  z.string(),
  z.array(z.string().nullable()),
  z.string(),
  z.string(),
  z.number().optional(),
])

/** @param until what came in later is on no page of this walk; ISO in UTC */
export function nextLink(
  context: Context,
  asker: Asker,
  asked: AddressedQuery,
  { end, until }: { readonly end: Page['end']; readonly until: string },
): string | undefined {
  if (end === undefined) return undefined
  const { keys, type, id, beside } = end
  const at: z.infer<typeof Place> = [until, [...keys], type, id]
  const place = beside === undefined ? at : [...at, beside]
  const sealed = sealedText(
    JSON.stringify(place),
    context.pageKey,
    bindingOf(context, asker, asked),
  )
  return linkTo(context, asked.path, [...asked.query.used, ['_cursor', sealed]])
}

/** Where the page before ended; undefined for the first page. */
export function placeOf(
  context: Context,
  asker: Asker,
  asked: AddressedQuery,
): PagePlace | undefined {
  const { cursor } = asked.query
  if (cursor === undefined) return undefined
  const text = openedText(cursor, context.pageKey, bindingOf(context, asker, asked))
  if (text === undefined)
    throw new AppError('invalid-request', 'There is no such page.', [
      parameterFault(
        '_cursor',
        'value',
        'This is not a link that this service made. Begin again at the first page.',
      ),
    ])
  const [until, keys, type, id, beside] = Place.parse(JSON.parse(text))
  return { until, keys, type, id, ...(beside === undefined ? {} : { beside }) }
}
