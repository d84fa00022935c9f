import type { Settled } from '../storage/subscription-states.ts'
import type { Context } from './context.ts'
import type { Taken } from './notification-delivery.ts'
import { isOver, type Message } from './notification-messages.ts'
import type { SendFailure } from './notification-sending.ts'

/** The wait after the first failure; twice as long after each other one, up to the longest. */
const FIRST_RETRY_MS = 10_000
const LONGEST_RETRY_MS = 3_600_000
/** After so many failures in a row, three to four hours, it is given up until somebody asks for it again. */
export const MOST_ATTEMPTS = 12

interface Told {
  readonly message: Message | undefined
  readonly failure: SendFailure
  readonly random: () => number
}

/** What follows from what was told, or could not be. */
export function outcomeOf(
  { now }: Pick<Context, 'now'>,
  taken: Taken,
  { message, failure, random }: Told,
): Settled {
  const { state } = taken
  const at = now()
  const base = {
    settledNumber: state.settledNumber,
    attempts: 0,
    error: undefined,
    sentAt: undefined,
    dueAt: undefined,
    eventsAt: undefined,
  }
  if (isOver(taken, at)) return { ...base, status: 'off' }
  if (failure !== undefined) return failed(taken, failure, { base, at, random })
  const sentAt = message?.bundle === undefined ? undefined : at.toISOString()
  return {
    ...base,
    status: 'active',
    settledNumber: message?.upTo ?? state.settledNumber,
    sentAt,
    dueAt: nextDue(taken, sentAt),
    eventsAt: at.toISOString(),
  }
}

function failed(
  taken: Taken,
  error: string,
  { base, at, random }: { readonly base: Omit<Settled, 'status'>; at: Date; random: () => number },
): Settled {
  const { state } = taken
  const attempts = state.attempts + 1
  // An endpoint that does not shake hands is not tried again by itself (R4 2.46.5).
  if (state.status === 'requested' || attempts >= MOST_ATTEMPTS)
    return { ...base, status: 'error', attempts, error }
  const wait = Math.min(FIRST_RETRY_MS * 2 ** (attempts - 1), LONGEST_RETRY_MS)
  const retryAt = new Date(at.getTime() + wait * (0.5 + random() / 2)).toISOString()
  return { ...base, status: state.status, attempts, error, dueAt: retryAt, eventsAt: retryAt }
}

/** The next heartbeat or the end, whichever is first. */
function nextDue({ state, terms }: Taken, sentAt: string | undefined): string | undefined {
  const { heartbeatS, end } = terms
  const last = sentAt ?? state.lastSentAt
  const heartbeat =
    heartbeatS === undefined || last === null
      ? []
      : [new Date(Date.parse(last) + heartbeatS * 1_000).toISOString()]
  const over = end === undefined ? [] : [new Date(Date.parse(end)).toISOString()]
  return [...heartbeat, ...over].toSorted()[0]
}
