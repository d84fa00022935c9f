/** How a search parameter reads its values; `patient`, `code`, `status` and `date` have typed columns. */
export type SearchKind = 'token' | 'reference' | 'date' | 'string'
export type Column = 'patient' | 'code' | 'status' | 'date'

export interface SearchParam {
  readonly name: string
  readonly kind: SearchKind
  /** Element paths below the resource; a choice element is written with its type. */
  readonly paths: readonly string[]
  /** The typed column that answers it; without one a narrow index table does. */
  readonly column?: Column
  /** The last part of the official definition's URL. */
  readonly definition: string
}

export const DEFINITION_BASE = 'http://hl7.org/fhir/SearchParameter/'

type ParamOf = (definition: string, ...paths: string[]) => SearchParam

const nameOf = (definition: string) => definition.replace(/^[A-Za-z]+-/, '')

const param =
  (kind: SearchKind, column?: Column): ParamOf =>
  (definition, ...paths) => ({
    name: nameOf(definition),
    kind,
    paths,
    definition,
    ...(column === undefined ? {} : { column }),
  })

export const token = param('token')
export const reference = param('reference')
export const string = param('string')
export const patient = param('reference', 'patient')
export const code = param('token', 'code')
export const status = param('token', 'status')
export const date = param('date', 'date')
