import { isUtf8 } from 'node:buffer'
import { createHash } from 'node:crypto'
import type { FastifyInstance, FastifyRequest } from 'fastify'
import { AppError, type Fault } from '../errors.ts'
import { parseBody } from '../fhir/json-body.ts'
import { faultsBeside } from '../fhir/validate.ts'
import { checkContentType } from './media-types.ts'

/** A request body as it was sent, and what it says. */
export interface FhirBody {
  readonly value: unknown
  /** SHA-256 of the bytes. */
  readonly hash: string
}

const JSON_BODY = /^(application\/(fhir\+)?json|text\/json)\b/i
const PATCH_BODY = /^application\/json-patch\+json\b/i
const FORM_BODY = /^application\/x-www-form-urlencoded\b/i

/** A transaction of 500 entries of 4 KB, twice. */
export const MAX_BODY_BYTES = 4 * 1_048_576
/** A search that is too long for an address: a few parameters, each of 200 values. */
const MAX_FORM_BYTES = 65_536

/** Bodies stay bytes until a route reads them: a decimal must keep its digits. */
export function installBodyParsers(app: FastifyInstance): void {
  app.removeAllContentTypeParsers()
  // Everything else is content for a Binary; the other routes refuse it.
  for (const kind of [JSON_BODY, PATCH_BODY, FORM_BODY, '*']) {
    const bodyLimit = kind === FORM_BODY ? MAX_FORM_BYTES : MAX_BODY_BYTES
    app.addContentTypeParser(kind, { parseAs: 'buffer', bodyLimit }, (request, body, done) => {
      if (isCoded(request)) done(CODED)
      else done(null, body)
    })
  }
}

/** A body is read as it comes: one that is compressed would be taken for what it is not (RFC 9110, 15.5.16). */
const isCoded = ({ headers }: FastifyRequest): boolean =>
  !/^(?:identity)?$/i.test(headers['content-encoding']?.trim() ?? '')

const CODED = new AppError('unsupported-media-type', 'The body must not be compressed.')

/** Does the request carry FHIR JSON, or nothing that says what it is? */
export const isJsonBody = ({ headers }: FastifyRequest): boolean =>
  headers['content-type'] === undefined || JSON_BODY.test(headers['content-type'])

/** The bytes that were sent, of whatever type. */
export const rawBody = (request: FastifyRequest): Buffer => bytesOf(request)

export function fhirBody(request: FastifyRequest): FhirBody {
  checkKind(request, JSON_BODY, 'application/fhir+json')
  return jsonBody(request, { besides: faultsBeside })
}

/** What is no resource but JSON, of another standard. */
export function plainBody(request: FastifyRequest): unknown {
  checkKind(request, JSON_BODY, 'application/json')
  return jsonBody(request).value
}

/** A JSON Patch, which is no resource. */
export function patchBody(request: FastifyRequest): unknown {
  checkKind(request, PATCH_BODY, 'application/json-patch+json')
  return jsonBody(request, { root: 'patch' }).value
}

interface JsonReading {
  /** What a fault's expression starts with where the body is no resource. */
  readonly root?: string
  /** What else is wrong with a body of which only some is given twice. */
  readonly besides?: (readable: unknown) => readonly Fault[]
}

function jsonBody(request: FastifyRequest, { root, besides }: JsonReading = {}): FhirBody {
  checkContentType(request.headers['content-type'])
  const bytes = bytesOf(request)
  const parsed = parseBody(bytes, root)
  if (!parsed.ok) {
    const others = parsed.readable === undefined ? [] : (besides?.(parsed.readable) ?? [])
    throw new AppError('malformed-body', 'The body cannot be read.', [...parsed.faults, ...others])
  }
  return { value: parsed.value, hash: createHash('sha256').update(bytes).digest('hex') }
}

/** Throws for a form of which not every byte can be read. */
export function formBody(request: FastifyRequest): [string, string][] {
  checkKind(request, FORM_BODY, 'application/x-www-form-urlencoded')
  const form = formOf(request)
  if (form === undefined)
    throw new AppError('malformed-body', 'The form cannot be read.', [
      {
        severity: 'error',
        code: 'structure',
        expression: 'http.body',
        rule: 'form',
        text: 'A form is UTF-8, and after % stand two hexadecimal digits.',
      },
    ])
  return form
}

/** The parameters of a form where one was sent; of any other body, and of one that cannot be read, none. */
export const formPairs = (request: FastifyRequest): [string, string][] =>
  FORMS.has(request) || FORM_BODY.test(request.headers['content-type'] ?? '')
    ? (formOf(request) ?? [])
    : []

/** Read once, for the route and for the record of the call; undefined for what cannot be read. */
const FORMS = new WeakMap<FastifyRequest, [string, string][] | undefined>()

function formOf(request: FastifyRequest): [string, string][] | undefined {
  // Before the body has come nothing is said of it.
  if (!Buffer.isBuffer(request.body)) return []
  if (FORMS.has(request)) return FORMS.get(request)
  const form = parsedForm(bytesOf(request))
  FORMS.set(request, form)
  return form
}

function parsedForm(bytes: Buffer): [string, string][] | undefined {
  const text = bytes.toString('latin1')
  // What is not encoded must be UTF-8 by itself, what is encoded when it is put together.
  if (!isUtf8(bytes) || /%(?![0-9A-Fa-f]{2})/.test(text)) return undefined
  const encoded = [...text.matchAll(/(?:%[0-9A-Fa-f]{2})+/g)]
  if (!encoded.every(([run]) => isUtf8(Buffer.from(run.replaceAll('%', ''), 'hex'))))
    return undefined
  return [...new URLSearchParams(bytes.toString('utf8'))]
}

/** Both kinds are parsed everywhere, so each route refuses the one that it cannot read. */
function checkKind(request: FastifyRequest, kind: RegExp, name: string): void {
  const sent = request.headers['content-type']
  if (sent !== undefined && !kind.test(sent))
    throw new AppError('unsupported-media-type', `The body must be ${name}; there is no XML.`)
}

function bytesOf({ body }: FastifyRequest): Buffer {
  return Buffer.isBuffer(body) ? body : Buffer.alloc(0)
}

/** Read once; several steps of an answer ask for one parameter each. */
const PAIRS = new WeakMap<FastifyRequest, readonly [string, string][]>()

/** Query parameters in the order sent, repeated ones kept. */
export function queryPairs(request: FastifyRequest): readonly [string, string][] {
  const known = PAIRS.get(request)
  if (known !== undefined) return known
  const address = request.raw.url ?? ''
  const at = address.indexOf('?')
  const pairs: [string, string][] = at < 0 ? [] : [...new URLSearchParams(address.slice(at + 1))]
  PAIRS.set(request, pairs)
  return pairs
}
