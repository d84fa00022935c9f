import type { FastifyRequest } from 'fastify'
import { AppError } from '../errors.ts'

const JSON_TYPES = ['application/fhir+json', 'application/json', 'text/json'] as const
export type JsonType = (typeof JSON_TYPES)[number]

const FORMATS = new Set(['json', ...JSON_TYPES])
const FHIR_VERSION = '4.0'

/**
 * The media type of the answer: `_format` beats `Accept` (R4 3.1.0.1.11); nothing asked for means
 * application/fhir+json. Throws `not-acceptable` when only something else would do.
 */
export function answerType(request: FastifyRequest, format: string | undefined): JsonType {
  if (format !== undefined) {
    // A raw plus sign in an address reaches us as a space.
    const asked = (format.split(';')[0] ?? '').trim().replace(' ', '+')
    if (FORMATS.has(asked)) return jsonType(asked) ?? 'application/fhir+json'
    throw notAcceptable()
  }
  const accept = request.headers.accept
  if (accept === undefined || accept === '') return 'application/fhir+json'
  for (const range of accept.split(',')) {
    const [name = '', ...parameters] = range.split(';').map((part) => part.trim().toLowerCase())
    if (parameters.includes('q=0')) continue
    if (!fhirVersionFits(parameters)) continue
    if (name === '*/*' || name === 'application/*') return 'application/fhir+json'
    const found = jsonType(name)
    if (found !== undefined) return found
  }
  throw notAcceptable()
}

/** Refuses a body that says it is of another FHIR version. */
export function checkContentType(contentType: string | undefined): void {
  const [, ...parameters] = (contentType ?? '').split(';').map((part) => part.trim().toLowerCase())
  if (!fhirVersionFits(parameters))
    throw new AppError('unsupported-media-type', 'This service speaks FHIR 4.0 only.')
  const charset = parameters.find((part) => part.startsWith('charset='))
  if (charset !== undefined && !/^charset="?utf-8"?$/.test(charset))
    throw new AppError('unsupported-media-type', 'The body must be UTF-8.')
}

const fhirVersionFits = (parameters: readonly string[]): boolean =>
  parameters.every(
    (part) => !part.startsWith('fhirversion=') || /^fhirversion="?4\.0"?$/.test(part),
  )

const jsonType = (name: string): JsonType | undefined => JSON_TYPES.find((type) => type === name)

const notAcceptable = () =>
  new AppError('not-acceptable', `Answers are application/fhir+json, FHIR ${FHIR_VERSION}.`)
