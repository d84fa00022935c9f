import { type AskedParameter, CURSOR, TEXT } from './asked-parameter.ts'

// What every search is asked by, whatever its type. query-controls.ts and query-parameters.ts read it.

export const MAX_PAGE = 200
export const DEFAULT_PAGE = 50

export const SUMMARIES = ['true', 'text', 'data', 'count', 'false'] as const
export const TOTALS = ['none', 'estimate', 'accurate'] as const

const ALTERNATIVES = 'Alternatives are separated by commas.'

/** Filters of every resource. */
export const COMMON_FILTERS = {
  _id: {
    name: '_id',
    description: `The id of the resource. ${ALTERNATIVES}`,
    value: TEXT,
  },
  _lastUpdated: {
    name: '_lastUpdated',
    description:
      'When its version came in: a date or an instant, behind a prefix (eq, ne, gt, lt, ge, le, sa, eb, ap) where it is not equal. Repeated, all must hold.',
    value: TEXT,
    several: 'repeated',
  },
  _profile: {
    name: '_profile',
    description: `A profile that meta names, by its canonical. ${ALTERNATIVES}`,
    value: TEXT,
  },
  _security: {
    name: '_security',
    description: `A security label of meta: code, system|code or system|. ${ALTERNATIVES}`,
    value: TEXT,
  },
  _source: {
    name: '_source',
    description: `Where it comes from, as meta.source says. ${ALTERNATIVES}`,
    value: TEXT,
  },
  _tag: {
    name: '_tag',
    description: `A tag of meta: code, system|code or system|. ${ALTERNATIVES}`,
    value: TEXT,
  },
} as const satisfies Record<string, AskedParameter>

/** How the answer of a search is to look. */
export const SEARCH_CONTROLS = {
  _count: {
    name: '_count',
    description: `How many matches a page holds, ${MAX_PAGE} at most; 0 is _summary=count.`,
    value: { type: 'integer', minimum: 0, default: DEFAULT_PAGE },
  },
  _cursor: CURSOR,
  _total: {
    name: '_total',
    description: 'Whether the matches of all pages are counted.',
    value: { type: 'string', enum: TOTALS },
  },
  _summary: {
    name: '_summary',
    description: 'Which part of each match is answered; count answers the number alone.',
    value: { type: 'string', enum: SUMMARIES },
  },
  _elements: {
    name: '_elements',
    description: 'Elements at the root of each match that are answered, beside the needed ones.',
    value: TEXT,
    several: 'commas',
  },
  _sort: {
    name: '_sort',
    description:
      'Search parameters of the type that have one value, or _id, _lastUpdated; a minus before one turns its order.',
    value: TEXT,
    several: 'commas',
  },
  _include: {
    name: '_include',
    description:
      'What matches refer to comes along: Type:reference or Type:reference:Type, no wildcard. As _include:iterate also what came along itself refers to.',
    value: TEXT,
    several: 'repeated',
  },
  _revinclude: {
    name: '_revinclude',
    description:
      'What refers to matches comes along: Type:reference or Type:reference:Type, no wildcard. As _revinclude:iterate also what refers to what came along.',
    value: TEXT,
    several: 'repeated',
  },
} as const satisfies Record<string, AskedParameter>

export type ControlName = keyof typeof SEARCH_CONTROLS

/** Of a search across types alone. */
export const SEARCHED_TYPES: AskedParameter = {
  name: '_type',
  description: 'The types that are searched; all that the token may search where none is named.',
  value: TEXT,
  several: 'commas',
}
