import type { FastifyRequest } from 'fastify'
import { AppError } from '../errors.ts'

const JSON_TYPES = ['application/fhir+json', 'application/json', 'text/json'] as const
export type JsonType = (typeof JSON_TYPES)[number]

const FHIR_JSON = 'application/fhir+json'
const FHIR_VERSION = '4.0'

/**
 * The media type of the answer: `_format` beats `Accept` (R4 3.1.0.1.11); nothing asked for means
 * application/fhir+json. Throws `not-acceptable` when only something else would do.
 */
export function answerType(request: FastifyRequest, format: string | undefined): JsonType {
  if (format !== undefined && format !== '') {
    // A raw plus sign in an address reaches us as a space.
    const { name, parameters } = rangeOf(format.trim().replace(/^(\w+\/\w+) (?=\w)/, '$1+'))
    const found = name === 'json' ? FHIR_JSON : jsonType(name)
    if (found !== undefined && fhirVersionFits(parameters)) return found
    throw notAcceptable('http._format')
  }
  const accept = request.headers.accept
  if (accept === undefined || accept.trim() === '') return FHIR_JSON
  const ranges = accept.split(',').map(rangeOf)
  // Sorting keeps the order of what is wanted equally.
  for (const { name, parameters, weight } of ranges.toSorted((a, b) => b.weight - a.weight)) {
    if (weight === 0 || !fhirVersionFits(parameters)) continue
    if (name === '*/*' || name === 'application/*') return FHIR_JSON
    if (name === 'text/*') return 'text/json'
    const found = jsonType(name)
    if (found !== undefined) return found
  }
  throw notAcceptable('http.Accept')
}

/**
 * Is the answer to be given in its own media type rather than as a resource? It is where the caller wants that
 * no less than JSON; who says nothing, or takes anything, gets the content as it is.
 */
export function answersAs(
  request: FastifyRequest,
  format: string | undefined,
  own: string,
): boolean {
  if (format !== undefined && format !== '')
    return rangeOf(format.trim().replace(/ /, '+')).name === own
  const ranges = (request.headers.accept ?? '*/*').split(',').map(rangeOf)
  const weightOf = (fits: (name: string) => boolean) =>
    Math.max(0, ...ranges.filter(({ name }) => fits(name)).map(({ weight }) => weight))
  const content = weightOf((name) => ['', '*/*', `${own.split('/')[0]}/*`, own].includes(name))
  const json = weightOf((name) => jsonType(name) !== undefined || name === 'application/*')
  return content > 0 && content >= json
}

/** Refuses a body that says it is of another FHIR version. */
export function checkContentType(contentType: string | undefined): void {
  const { parameters } = rangeOf(contentType ?? '')
  if (!fhirVersionFits(parameters))
    throw new AppError(
      'unsupported-media-type',
      `This service speaks FHIR ${FHIR_VERSION} alone, in JSON.`,
    )
  const charset = parameters.find((part) => part.startsWith('charset='))
  if (charset !== undefined && !/^charset="?utf-8"?$/.test(charset))
    throw new AppError('unsupported-media-type', 'The body must be UTF-8.')
}

interface Range {
  readonly name: string
  readonly parameters: readonly string[]
  readonly weight: number
}

function rangeOf(text: string): Range {
  const [named = '', ...parameters] = text.split(';').map((part) => part.trim().toLowerCase())
  // Some clients of the Web shorten the range of all types (RFC 9110 12.5.1 does not).
  const name = named === '*' ? '*/*' : named
  const quality = parameters.find((part) => part.startsWith('q='))
  const weight = quality === undefined ? 1 : Number(quality.slice(2))
  // A weight that is none counts as the one that is not written.
  return { name, parameters, weight: weight >= 0 && weight <= 1 ? weight : 1 }
}

const fhirVersionFits = (parameters: readonly string[]): boolean =>
  parameters.every(
    (part) => !part.startsWith('fhirversion=') || /^fhirversion="?4\.0"?$/.test(part),
  )

const jsonType = (name: string): JsonType | undefined => JSON_TYPES.find((type) => type === name)

const notAcceptable = (expression: string) =>
  new AppError('not-acceptable', 'The answer cannot be given so.', [
    {
      severity: 'error',
      code: 'not-supported',
      expression,
      rule: 'media-type',
      text: `Only JSON is offered: ${FHIR_JSON}, FHIR ${FHIR_VERSION}. There is no XML and no Turtle.`,
    },
  ])
