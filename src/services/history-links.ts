import { AppError } from '../errors.ts'
import type { HistoryParameters } from '../fhir/history-query.ts'
import type { Caller } from '../security/access-token.ts'
import { openedText, sealedText } from '../security/sealed-text.ts'
import type { HistoryPlace } from '../storage/history.ts'
import type { StoredVersion } from '../storage/resources.ts'
import type { Context } from './context.ts'

/** Of one resource, of a type, or of everything. */
export interface HistoryTarget {
  readonly type?: string
  readonly id?: string
}

export interface Asked {
  readonly target: HistoryTarget
  readonly asked: HistoryParameters
}

/** Where a walk through pages stands: all of its pages show the history as it was at its start. */
export interface Walk {
  /** ISO instant in UTC. */
  readonly until: string
  readonly after?: HistoryPlace
}

type Pairs = readonly (readonly [string, string])[]

const pairsOf = ({ used }: HistoryParameters, cursor: string | undefined): Pairs =>
  cursor === undefined ? used : [...used, ['_cursor', cursor]]

function linkTo({ baseUrl }: Context, { type, id }: HistoryTarget, pairs: Pairs): string {
  const path = [baseUrl, type, id, '_history'].filter((part) => part !== undefined).join('/')
  const query = new URLSearchParams(pairs.map(([name, value]): [string, string] => [name, value]))
  return query.size === 0 ? path : `${path}?${query.toString()}`
}

/** A page of one clinic, address or filter is no page of another. */
const bindingOf = (context: Context, caller: Caller, { target, asked }: Asked): string =>
  `history ${caller.clinicId} ${caller.partnerId ?? ''} ${linkTo(context, target, asked.used)}`

export const selfLink = (context: Context, { target, asked }: Asked): string =>
  linkTo(context, target, pairsOf(asked, asked.cursor))

export function nextLink(
  context: Context,
  caller: Caller,
  { target, asked, until, last }: Asked & { until: string; last: StoredVersion },
): string {
  const { updatedAt, type, id, version } = last
  const place = [until, updatedAt, type, id, version].join(' ')
  const binding = bindingOf(context, caller, { target, asked })
  return linkTo(context, target, pairsOf(asked, sealedText(place, context.pageKey, binding)))
}

/** A walk that begins now, or the one that the link belongs to. */
export function walkOf(context: Context, caller: Caller, { target, asked }: Asked): Walk {
  if (asked.cursor === undefined) return { until: context.now().toISOString() }
  const binding = bindingOf(context, caller, { target, asked })
  const place = openedText(asked.cursor, context.pageKey, binding)
  const [until, updatedAt, type, id, version] = place?.split(' ') ?? []
  if (until !== undefined && updatedAt !== undefined && type !== undefined && id !== undefined)
    return { until, after: { updatedAt, type, id, version: Number(version) } }
  throw new AppError('invalid-request', 'There is no such page.', [
    {
      severity: 'error',
      code: 'value',
      expression: 'http._cursor',
      rule: 'page-link',
      text: 'This is not a link that this service made. Begin again at the first page.',
    },
  ])
}
