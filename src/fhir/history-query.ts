import { AppError, type Fault } from '../errors.ts'
import {
  ANSWER_FORM,
  type AskedParameter,
  CURSOR,
  INSTANT,
  namesOf,
  TEXT,
} from './asked-parameter.ts'
import { type InstantRange, instantRange } from './date-range.ts'
import type { Handling } from './query-reading.ts'

const DEFAULT_PAGE = 50
const MAX_PAGE = 200

/** Each at most once; any other is ignored, or refused by `Prefer: handling=strict`. */
export const HISTORY_PARAMETERS: readonly AskedParameter[] = [
  {
    name: '_count',
    description: `How many versions a page holds, ${MAX_PAGE} at most.`,
    value: { type: 'integer', minimum: 1, default: DEFAULT_PAGE },
  },
  {
    name: '_since',
    description: 'Only versions that came in at this instant or later; with its zone.',
    value: INSTANT,
  },
  {
    name: '_at',
    description:
      'Only versions that were current at some time of this day, month, year or instant.',
    value: TEXT,
  },
  CURSOR,
]
const KNOWN = namesOf(HISTORY_PARAMETERS)
const OF_ANSWER = namesOf(ANSWER_FORM)

export interface HistoryParameters {
  readonly count: number
  /** ISO instant in UTC. */
  readonly since?: string
  readonly at?: InstantRange
  /** Where the page before ended, as it stood in its link. */
  readonly cursor?: string
  /** The parameters that count, for the links; without the cursor. */
  readonly used: readonly (readonly [string, string])[]
}

const ZONE = /(?:Z|[+-]\d{2}:\d{2})$/

/** What a history is asked for. Throws AppError with every fault. */
export function historyParameters(
  pairs: readonly (readonly [string, string])[],
  handling: Handling,
): HistoryParameters {
  const faults = handling === 'strict' ? unknownIn(pairs) : []
  const given = new Map<string, string>()
  for (const [name, value] of pairs) {
    if (!KNOWN.includes(name) || value === '') continue
    if (given.has(name)) faults.push(fault(name, 'invalid', `${name} is given at most once.`))
    given.set(name, value)
  }
  const count = pageSize(given.get('_count'), faults)
  const since = spanOf('_since', given.get('_since'), faults)
  const at = spanOf('_at', given.get('_at'), faults)
  const cursor = given.get('_cursor')
  if (faults.length > 0) throw new AppError('invalid-request', 'There is no such history.', faults)
  return {
    count,
    ...(since === undefined ? {} : { since: since.from }),
    ...(at === undefined ? {} : { at }),
    ...(cursor === undefined ? {} : { cursor }),
    used: [...given].filter(([name]) => name !== '_cursor'),
  }
}

const unknownIn = (pairs: readonly (readonly [string, string])[]): Fault[] =>
  [...new Set(pairs.map(([name]) => name))]
    .filter((name) => !KNOWN.includes(name) && !OF_ANSWER.includes(name))
    .map((name) =>
      fault(name, 'not-supported', `A history is asked for by ${KNOWN.join(', ')} alone.`),
    )

function pageSize(value: string | undefined, faults: Fault[]): number {
  if (value === undefined) return DEFAULT_PAGE
  if (/^[1-9]\d{0,5}$/.test(value)) return Math.min(Number(value), MAX_PAGE)
  faults.push(fault('_count', 'value', '_count must be a whole number, 1 or more.'))
  return DEFAULT_PAGE
}

function spanOf(
  name: '_since' | '_at',
  value: string | undefined,
  faults: Fault[],
): InstantRange | undefined {
  if (value === undefined) return undefined
  // A raw plus sign in an address reaches us as a space.
  const text = value.replace(/ (?=\d{2}:\d{2}$)/, '+')
  const span =
    name === '_at' || (text.includes('T') && ZONE.test(text)) ? instantRange(text) : undefined
  if (span === undefined)
    faults.push(
      fault(
        name,
        'value',
        name === '_at'
          ? '_at must be a date or dateTime, for instance 2026-03-02.'
          : '_since must be an instant with its zone, for instance 2026-03-02T09:00:00Z.',
      ),
    )
  return span
}

const fault = (name: string, code: string, text: string): Fault => ({
  severity: 'error',
  code,
  expression: `http.${name}`,
  rule: 'history-parameter',
  text,
})
