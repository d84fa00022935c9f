import { ANSWER_FORM, type AskedParameter, TEXT } from '../fhir/asked-parameter.ts'
import type { ResourceTypeRow } from '../fhir/registry-row.ts'
import { COMMON_FILTERS, SEARCH_CONTROLS, SEARCHED_TYPES } from '../fhir/search-asked.ts'
import { type Described, type DescribedBody, formContent } from './described.ts'
import { HANDLING } from './described-headers.ts'

const HAS: AskedParameter = {
  name: '_has',
  description:
    'What is referred to by resources that are found so: _has:Type:reference:parameter=value, for instance _has:Observation:patient:code=8302-2; may be nested.',
  value: TEXT,
  several: 'named',
}
/** One address serves every type, so its own parameters have no names here. */
const OF_THE_TYPE: AskedParameter = {
  name: 'of-the-type',
  description:
    'The search parameters of the type, which the CapabilityStatement at /fhir/metadata lists; any of them with a modifier it has (name:exact, code:not, subject:missing) or as a chain (subject:Patient.name). Repeated, all must hold; alternatives are separated by commas.',
  value: TEXT,
  several: 'named',
}
/** Of a search across types. */
const OF_ALL_TYPES: AskedParameter = {
  ...OF_THE_TYPE,
  name: 'of-all-types',
  description:
    'Search parameters that every searched type has, by the CapabilityStatement at /fhir/metadata.',
}

const FILTERS: readonly AskedParameter[] = Object.values(COMMON_FILTERS)
const CONTROLS: readonly AskedParameter[] = Object.values(SEARCH_CONTROLS)

/** What says which resource is meant, where an address has no id. */
export const CONDITION: readonly AskedParameter[] = [...FILTERS, HAS, OF_THE_TYPE]
const OF_A_TYPE: readonly AskedParameter[] = [...FILTERS, ...CONTROLS, HAS, OF_THE_TYPE]
const ACROSS: readonly AskedParameter[] = [
  SEARCHED_TYPES,
  ...FILTERS,
  ...CONTROLS,
  HAS,
  OF_ALL_TYPES,
]
const IN_COMPARTMENT: readonly AskedParameter[] = [
  {
    ...SEARCHED_TYPES,
    description: `Where all types are asked for (*). ${SEARCHED_TYPES.description}`,
  },
  ...OF_A_TYPE,
]

/** A search by its address, and the same where a form adds to it. */
interface DescribedSearch {
  readonly get: Described
  readonly form: Described
}

const [FORMAT] = ANSWER_FORM

const formOf = (query: readonly AskedParameter[]): DescribedBody => ({
  description: 'Search parameters; those of the address count with them.',
  required: false,
  content: { 'application/x-www-form-urlencoded': formContent([...query, FORMAT]) },
})

const searchOf = (query: readonly AskedParameter[]): DescribedSearch => {
  const get = { query, headers: [HANDLING] }
  return { get, form: { ...get, body: formOf(query) } }
}

export const TYPE_SEARCH = searchOf(OF_A_TYPE)
export const SYSTEM_SEARCH = searchOf(ACROSS)
export const COMPARTMENT_SEARCH = searchOf(IN_COMPARTMENT)

/** What the service publishes is searched by the parameters of its type; nothing that is kept is looked into. */
export function publishedSearch({ search }: ResourceTypeRow): DescribedSearch {
  const own = search.filter(({ code }) => !Object.hasOwn(COMMON_FILTERS, code))
  return searchOf([
    ...FILTERS,
    ...own.map(
      ({ code, kind }): AskedParameter => ({
        name: code,
        description: `A search parameter of R4, kind ${kind}; alternatives are separated by commas.`,
        value: TEXT,
      }),
    ),
    ...CONTROLS,
  ])
}
