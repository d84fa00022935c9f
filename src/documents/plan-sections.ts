import { CAUTIONS } from '../domain/cautions.ts'
import { day } from '../domain/messages/message.ts'
import type { FittingPlan } from '../domain/plan/fitting.ts'
import type { Words } from '../pictures/words.ts'
import { followed, goalTable } from './course-tables.ts'
import { devices } from './device-table.ts'
import type { DocumentFacts, PlannedFacts } from './document-facts.ts'
import { heading, list, paragraph, type Piece, type Section, section } from './document.ts'
import { wornFollowUp, wornPlan, wornVisits, wornWear } from './worn-sections.ts'

/** What is proposed, or that nothing is and what is advised instead. */
export function planSection(facts: DocumentFacts, words: Words): Section {
  const title = words.say('part.paper-plan')
  const { plan, triage, fitting } = facts
  if (fitting !== undefined) return section('plan', title, wornPlan(fitting, facts, words))
  if (plan === undefined)
    return section(
      'plan',
      title,
      paragraph(words.say('paper-plan.none')),
      list(triage.suitability.pathways.map(words.of)),
    )
  return section(
    'plan',
    title,
    paragraph(words.say('paper-plan.proposal')),
    devices(plan, words),
    heading(words.say('part.wear')),
    paragraph(words.of(plan.wear.wording)),
    heading(words.say('part.stop')),
    list(plan.stopRules.map(words.of)),
  )
}

/** When the child is seen again and what is hoped for, or why no date stands here. */
export function followUpSection(facts: DocumentFacts, words: Words): Section {
  const { plan, triage, fitting } = facts
  const title = words.say('part.paper-follow-up')
  if (fitting !== undefined) return section('follow-up', title, wornFollowUp(fitting, words))
  if (plan !== undefined)
    return section('follow-up', title, plannedVisits(plan, words), [
      heading(words.say('part.goals')),
      ...goalTable(plan.goals, words),
    ])
  const { recheckOn, outcome } = triage.suitability
  if (recheckOn !== undefined)
    return section(
      'follow-up',
      title,
      paragraph(words.say('paper-plan.recheck', { on: day(recheckOn) })),
    )
  return section(
    'follow-up',
    title,
    paragraph(
      words.say(
        outcome === 'undetermined' ? 'paper-follow-up.when-known' : 'paper-follow-up.elsewhere',
      ),
    ),
  )
}

/** Counted from the delivery that is expected. */
const plannedVisits = (plan: FittingPlan, words: Words): readonly Piece[] => [
  paragraph(words.say('paper-follow-up.after-delivery', { on: day(plan.deliveryOn) })),
  ...followed(plan.followUps, words),
]

export const visits = ({ plan, fitting }: PlannedFacts, words: Words): readonly Piece[] =>
  fitting === undefined ? plannedVisits(plan, words) : wornVisits(fitting, words)

export const wear = ({ plan, fitting }: PlannedFacts, words: Words): readonly Piece[] =>
  fitting === undefined ? [paragraph(words.of(plan.wear.wording))] : wornWear(fitting, words)

/** What must be borne in mind, and what is known about such devices. */
export const cautionSections = ({ plan }: DocumentFacts, words: Words): readonly Section[] => [
  section('cautions', words.say('part.cautions'), list((plan?.cautions ?? CAUTIONS).map(words.of))),
  section('evidence', words.say('part.evidence'), list((plan?.evidence ?? []).map(words.of))),
]
