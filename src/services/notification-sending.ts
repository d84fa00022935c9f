import { createHash } from 'node:crypto'
import { writeJson } from '../fhir/decimal.ts'
import type { Bundle } from '../fhir/r4/types.ts'
import type { SubscriptionTerms } from '../fhir/subscription-terms.ts'
import type { Tokens } from '../security/access-token.ts'
import type { Context } from './context.ts'
import type { Exchange } from './outgoing-request.ts'
import { mayBeNotified } from './subscription-writes.ts'

/** What sends notifications beside what every service function has. */
export interface Sender {
  readonly exchange: Exchange
  readonly tokens: Pick<Tokens, 'signDetached'>
  /** Who signs, as in our tokens. */
  readonly issuer: string
  /** From 0 to 1, so that what failed together is not tried again together. */
  readonly random: () => number
}

/** What a notification failed with, as a code of subscription-error; undefined when it was taken. */
export type SendFailure = 'dns-resolution-error' | 'no-response' | 'error-response' | undefined

const BODY_TYPE = 'application/fhir+json'
const SIGNATURE_TYPE = 'notification+jws'
/** What an endpoint answers is not read. */
const MOST_BYTES = 65_536

/** Sends a notification once, signed. */
export async function sendNotification(
  { now, notifyOrigins, software }: Pick<Context, 'now' | 'notifyOrigins' | 'software'>,
  { exchange, tokens, issuer }: Sender,
  { endpoint, headers, timeoutS }: SubscriptionTerms,
  bundle: Bundle,
): Promise<SendFailure> {
  const body = writeJson(bundle)
  const signature = await tokens.signDetached(body, {
    typ: SIGNATURE_TYPE,
    iss: issuer,
    aud: endpoint,
    iat: Math.floor(now().getTime() / 1_000),
    jti: bundle.id ?? '',
  })
  if (!mayBeNotified(endpoint, notifyOrigins)) return 'no-response'
  try {
    const { status } = await exchange({
      url: endpoint,
      method: 'POST',
      headers: {
        ...Object.fromEntries(headers),
        'content-type': BODY_TYPE,
        'user-agent': software.replace(' ', '/'),
        'content-digest': `sha-256=:${createHash('sha256').update(body).digest('base64')}:`,
        'x-jws-signature': signature,
      },
      body,
      withinMs: timeoutS * 1_000,
      mostBytes: MOST_BYTES,
    })
    return status >= 200 && status < 300 ? undefined : 'error-response'
  } catch (error) {
    return isUnresolved(error) ? 'dns-resolution-error' : 'no-response'
  }
}

const UNRESOLVED: ReadonlySet<unknown> = new Set(['ENOTFOUND', 'EAI_AGAIN'])

const isUnresolved = (error: unknown): boolean =>
  error instanceof Error && 'code' in error && UNRESOLVED.has(error.code)
