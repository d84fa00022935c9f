import { AppError } from '../errors.ts'
import { isList, isObject, type JsonObject } from './element.ts'

/** Stands for a value that no simple parameter has: whoever reads the parameter refuses it. */
const UNREADABLE = '?'

/**
 * The simple parameters of an operation by POST: a Parameters resource says the same as a query. Throws
 * AppError for any other body, since what is not read would not narrow what is sent back.
 */
export function parameterPairs(body: unknown): (readonly [name: string, value: string])[] {
  const sent = isObject(body) && body['resourceType'] === 'Parameters' ? body : undefined
  if (sent === undefined) throw refused('Parameters', 'The body is a Parameters resource.')
  const { parameter = [] } = sent
  if (!isList(parameter)) throw refused('Parameters.parameter', 'This is a list.')
  return parameter.map((one, index) => {
    if (isObject(one) && typeof one['name'] === 'string') return [one['name'], simpleValue(one)]
    throw refused(`Parameters.parameter[${index}].name`, 'Each parameter has its name.')
  })
}

function simpleValue(parameter: JsonObject): string {
  const [value] = Object.entries(parameter)
    .filter(([name]) => name.startsWith('value'))
    .map(([, found]) => found)
  if (typeof value === 'string' || typeof value === 'number' || typeof value === 'boolean')
    return String(value)
  return (isObject(value) ? referenceOrToken(value) : undefined) ?? UNREADABLE
}

/** A Reference, Coding or CodeableConcept as a query says it. */
function referenceOrToken(value: JsonObject): string | undefined {
  const { reference, coding } = value
  if (typeof reference === 'string') return reference
  const codings = isList(coding) ? coding.filter(isObject) : [value]
  const tokens = codings.flatMap(({ system, code }) =>
    typeof code === 'string' ? [typeof system === 'string' ? `${system}|${code}` : code] : [],
  )
  return tokens.length === 0 ? undefined : tokens.join(',')
}

const refused = (expression: string, text: string): AppError =>
  new AppError('invalid-request', 'The body cannot be used.', [
    { severity: 'error', code: 'structure', expression, rule: 'operation-parameter', text },
  ])
