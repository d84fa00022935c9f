import { randomUUID } from 'node:crypto'
import type { Socket } from 'node:net'
import { AppError } from '../errors.ts'
import { toOutcome } from '../fhir/outcome.ts'

const REFUSALS: Readonly<Record<string, readonly [status: string, text: string]>> = {
  ERR_HTTP_REQUEST_TIMEOUT: ['408 Request Timeout', 'The request did not come in time.'],
  HPE_HEADER_OVERFLOW: ['431 Request Header Fields Too Large', 'The headers are too long.'],
}
const UNREADABLE = ['400 Bad Request', 'This is not HTTP.'] as const

/** Answers what is no HTTP request, so that no route and no hook ever sees it. */
export function answerUnreadable(error: Error & { readonly code?: string }, socket: Socket): void {
  if (!socket.writable || error.code === 'ECONNRESET') return
  const [status, text] = REFUSALS[error.code ?? ''] ?? UNREADABLE
  const body = JSON.stringify(toOutcome(new AppError('invalid-request', text)).outcome)
  socket.end(
    [
      `HTTP/1.1 ${status}`,
      'Content-Type: application/fhir+json; charset=utf-8',
      `Content-Length: ${Buffer.byteLength(body)}`,
      `X-Request-Id: ${randomUUID()}`,
      'Connection: close',
      '',
      body,
    ].join('\r\n'),
  )
}
