import type { FastifyReply, FastifyRequest } from 'fastify'
import { ALL_WELL } from '../services/response-entries.ts'
import { maySee } from '../services/shown-content.ts'
import type { Done, Kept } from '../services/write.ts'
import { isKnown } from './conditional-read.ts'
import { formPairs, queryPairs } from './fhir-body.ts'
import { answersAs, answerType } from './media-types.ts'
import { preferences } from './preferences.ts'

/** Refuses an answer that cannot be given before anything is done for it. */
export function checkAcceptable(request: FastifyRequest): void {
  answerType(request, formatOf(request))
}

/** Is this media type wanted, rather than a resource? */
export const isWanted = (request: FastifyRequest, mediaType: string): boolean =>
  answersAs(request, formatOf(request), mediaType)

const formatOf = (request: FastifyRequest): string | undefined =>
  [...queryPairs(request), ...formPairs(request)].find(([name]) => name === '_format')?.[1]

/** Answers in the media type that was asked for. */
export const fhirJson = (request: FastifyRequest, reply: FastifyReply): FastifyReply =>
  reply.type(`${answerType(request, formatOf(request))}; charset=utf-8`)

type Version = Pick<Kept, 'version' | 'updatedAt'>

const etagOf = ({ version }: Version): string => `W/"${version}"`

const versioned = (reply: FastifyReply, kept: Version): FastifyReply =>
  reply.header('etag', etagOf(kept)).header('last-modified', new Date(kept.updatedAt).toUTCString())

/** Says which version is answered. @returns whether the caller has it already */
export function isKnownVersion(
  request: FastifyRequest,
  reply: FastifyReply,
  kept: Version,
): boolean {
  versioned(reply, kept)
  return isKnown(request, { etag: etagOf(kept), updatedAt: kept.updatedAt })
}

/** Sends what was read, unless the caller has it already. */
export function sendRead(
  request: FastifyRequest,
  reply: FastifyReply,
  kept: Version,
  body: () => string,
): FastifyReply {
  if (isKnownVersion(request, reply, kept)) return reply.status(304).send()
  return fhirJson(request, reply).send(body())
}

/** The same of a create or update, with where it is (R4 3.1.0.4, 3.1.0.8). */
export function sendWrittenAt(
  request: FastifyRequest,
  reply: FastifyReply,
  baseUrl: string,
  done: Done,
): FastifyReply {
  const { did, kept } = done
  if (kept === undefined) throw new Error('What was written is not kept')
  const location = `${baseUrl}/${kept.type}/${kept.id}/_history/${kept.version}`
  return sendWritten(
    request,
    reply.status(did === 'created' ? 201 : 200).header('location', location),
    done,
  )
}

/** Sends what was written, or what its sender would rather have. */
export function sendWritten(
  request: FastifyRequest,
  reply: FastifyReply,
  done: Done,
): FastifyReply {
  const { kept } = done
  if (kept === undefined) throw new Error('What was written is not kept')
  const { returns } = preferences(request)
  versioned(reply, kept)
  if (done.isRepeated === true) reply.header('idempotent-replayed', 'true')
  if (returns === 'OperationOutcome') return fhirJson(request, reply).send(ALL_WELL)
  if (returns === 'minimal' || !maySee(request.caller, done)) return reply.send()
  return fhirJson(request, reply).send(kept.body)
}
