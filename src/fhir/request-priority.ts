import type { ServiceRequest } from './r4/types.ts'

/** From the least to the most urgent. */
const PRIORITIES = ['routine', 'urgent', 'asap', 'stat'] as const
export type RequestPriority = (typeof PRIORITIES)[number]

/** The referrer's word is never lowered. */
export const higherPriority = (
  asked: ServiceRequest['priority'],
  computed: RequestPriority,
): RequestPriority =>
  asked !== undefined && PRIORITIES.indexOf(asked) > PRIORITIES.indexOf(computed) ? asked : computed
