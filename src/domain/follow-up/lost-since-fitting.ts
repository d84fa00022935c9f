import type { Child, RedFlagSign } from '../child.ts'
import type { VisitFinding } from './follow-up.ts'
import type { Milestones } from '../development/milestones.ts'
import type { SkillsSinceFitting } from './new-since-fitting.ts'
import type { Truth } from '../truth.ts'
import type { VisitDays } from './worn-device.ts'
import { listed } from '../wording.ts'

/** Recorded at a visit, each means stop and review. */
const FLAGS: readonly RedFlagSign[] = ['loss-of-skills', 'rising-tone-or-clonus']

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
  const named = [...lost.map(({ what }) => what), ...flags.map(({ sign }) => sign)]
  const { regression } = milestones
  const holds = named.length > 0 ? 'yes' : regression.holds === 'unknown' ? 'unknown' : 'no'
  const seen = listed(named.map((word) => word.replaceAll('-', ' ')))
  const because: Readonly<Record<Truth, string>> = {
    yes: `since the fitting: ${seen}; a physician looks first`,
    no: 'no loss since the fitting is on record',
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
    ...(holds === 'yes' && {
      wording: {
        therapist: `Stop and review, physician first: ${seen}.`,
        family:
          'Please leave the supports off and call us. If your child has lost a skill or the legs feel stiffer, a doctor should look at it soon.',
      },
    }),
  }
}
