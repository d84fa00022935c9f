import type { Child, RedFlagSign } from '../child.ts'
import { type Message, say, together } from '../messages/message.ts'
import type { VisitFinding } from './follow-up.ts'
import type { Milestones } from '../development/milestones.ts'
import { type SkillsSinceFitting, skillTerm } from './new-since-fitting.ts'
import type { Truth } from '../truth.ts'
import type { VisitDays } from './worn-device.ts'

/** Recorded at a visit, each means stop and review. */
const FLAGS = ['loss-of-skills', 'rising-tone-or-clonus'] as const satisfies readonly RedFlagSign[]

/**
 * Was a skill lost since the fitting, or does the tone rise?
 *
 * By the milestones of the record, and by the red flags recorded since the delivery. A red flag that
 * nobody recorded changes nothing, as in the triage; it is unknown when no milestone was ever
 * checked, and when the dates of the checks leave a loss open.
 *
 * @see common practice; judgement
 */
export function lostSinceFitting(
  found: {
    readonly child: Child
    readonly milestones: Milestones
    readonly since: SkillsSinceFitting
  },
  { deliveredOn, asOf }: VisitDays,
): VisitFinding {
  const { child, milestones, since } = found
  const lost = since.milestones.filter(({ state }) => state === 'lost')
  const flags = FLAGS.flatMap((sign) => {
    const flag = child.redFlags[sign]
    if (flag === 'unknown' || !flag.value) return []
    return flag.on >= deliveredOn && flag.on <= asOf ? [{ sign, evidence: flag.evidence }] : []
  })
  const seen = [
    ...(lost.length === 0
      ? []
      : [say('lost-since-fitting.milestones', { what: lost.map(({ what }) => skillTerm(what)) })]),
    ...flags.map(({ sign }) => say(`lost-since-fitting.${sign}`)),
  ]
  const { regression } = milestones
  const holds = seen.length > 0 ? 'yes' : regression.holds === 'unknown' ? 'unknown' : 'no'
  const because: Readonly<Record<Truth, Message>> = {
    yes: together(seen),
    no: say('lost-since-fitting.none'),
    unknown: regression.because,
  }
  const evidence = [
    ...lost.flatMap(({ finding }) => finding.evidence),
    ...flags.map((flag) => flag.evidence),
  ]
  return {
    rule: 'lost-since-fitting',
    holds,
    because: because[holds],
    sources: ['common-practice', 'judgement'],
    evidence: [...new Set(holds === 'yes' ? evidence : regression.evidence)].toSorted(),
    ...(holds === 'yes' && { wording: say('lost-since-fitting.stop') }),
  }
}
