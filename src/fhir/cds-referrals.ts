import { type CivilDate, civilDate, earliestDay } from '../domain/calendar.ts'
import { day, type Message, say } from '../domain/messages/message.ts'
import { instantRange } from './date-range.ts'
import { isReferral } from './profiles.ts'
import type { ServiceRequest } from './r4/types.ts'

/** What a records system has of referrals of ours for a child. */
export interface KnownReferrals {
  /** Is one on record, if only as a draft? */
  readonly isReferred: boolean
  /** One that was sent and not ended yet. */
  readonly underWay: UnderWay | undefined
}

/** Since when, where one of them says the day. */
export interface UnderWay {
  readonly since: CivilDate | undefined
}

/**
 * @param found  what the query of referrals found
 * @param drafts what is about to be signed: a records system may keep it already, and then finds it too
 */
export function knownReferrals(
  found: readonly ServiceRequest[],
  drafts: readonly ServiceRequest[],
): KnownReferrals {
  const signed = new Set(drafts.flatMap(namesOf))
  const others = found.filter(
    (one) =>
      isReferral(one) &&
      one.doNotPerform !== true &&
      !namesOf(one).some((name) => signed.has(name)),
  )
  const sent = others.filter(({ status }) => status === 'active' || status === 'on-hold')
  return {
    isReferred: sent.length > 0 || others.some(({ status }) => status === 'draft'),
    underWay: sent.length > 0 ? { since: earliestDay(sent.flatMap(authoredDay)) } : undefined,
  }
}

/** By what the same order is known again. */
const namesOf = ({ id, identifier = [] }: ServiceRequest): readonly string[] => [
  ...(id === undefined ? [] : [id]),
  ...identifier.flatMap(({ system, value }) =>
    system === undefined || value === undefined ? [] : [`${system}|${value}`],
  ),
]

/** The day as its author wrote it; none where only a month or a year is written. */
const authoredDay = ({ authoredOn = '' }: ServiceRequest): CivilDate[] =>
  authoredOn.length >= 'YYYY-MM-DD'.length && instantRange(authoredOn) !== undefined
    ? [civilDate(authoredOn.slice(0, 'YYYY-MM-DD'.length))]
    : []

/** That a second one is not to be sent. */
export const saidUnderWay = ({ since }: UnderWay): Message =>
  say('advice.referral-under-way', {
    dated: since === undefined ? 'no' : 'yes',
    since: since === undefined ? '' : day(since),
  })
