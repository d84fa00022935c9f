import type { FollowUpResult } from './follow-up.ts'
import { type Message, say } from '../messages/message.ts'
import { skillTerm } from './new-since-fitting.ts'

/**
 * What is a referrer told after a visit?
 *
 * The outcome, what the fit check asks for, what is new since the fitting, and whatever somebody has to
 * do. Nothing that changes from day to day without anything being seen, so that the same visit is told in
 * the same words.
 */
export function visitReport(found: FollowUpResult): readonly Message[] {
  const { because, fitCheck, since, lost, outgrown, stalled } = found
  const what = [...since.milestones, ...since.skills]
    .filter(({ state }) => state === 'new')
    .map((one) => skillTerm(one.what))
  return [
    because,
    ...(fitCheck === 'unknown' ? [] : [fitCheck.wording]),
    ...(what.length === 0 ? [] : [say('new-since-fitting.new', { what })]),
    ...(lost.holds === 'yes' ? [lost.because] : []),
    ...outgrown.flatMap(({ finding: { holds, wording } }) =>
      holds === 'yes' && wording !== undefined ? [wording] : [],
    ),
    ...(stalled.holds === 'yes' && stalled.wording !== undefined ? [stalled.wording] : []),
  ]
}
