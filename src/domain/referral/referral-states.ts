/** Where a referral stands, in the order in which one is gone through. */
export const REFERRAL_STATES = [
  'drafted',
  'sent',
  'in-triage',
  'awaiting-information',
  'accepted',
  'scheduled',
  'missed',
  'visit-cancelled',
  'visit-done',
  'on-hold',
  'cancellation-requested',
  'completed',
  'loop-closed',
  'rejected',
  'failed',
  'cancelled',
  'entered-in-error',
] as const
export type ReferralState = (typeof REFERRAL_STATES)[number]

/** The status codes of an R4 Task that a referral's Task may have. */
export type TaskStatus =
  | 'draft'
  | 'requested'
  | 'received'
  | 'accepted'
  | 'in-progress'
  | 'on-hold'
  | 'completed'
  | 'rejected'
  | 'failed'
  | 'cancelled'
  | 'entered-in-error'

/** The status codes of an R4 ServiceRequest that a referral may have. */
export type RequestStatus = 'draft' | 'active' | 'completed' | 'revoked' | 'entered-in-error'

/**
 * Who takes a step. The referrer made the request, the clinic does the work, the author is whoever of the
 * two wrote the referral into the exchange; the exchange notes by itself what it has seen happen.
 */
export const ACTORS = ['referrer', 'clinic', 'author', 'exchange'] as const
export type Actor = (typeof ACTORS)[number]
