import { day, say } from '../domain/messages/message.ts'
import { isEndState, stateAfterTriage, statesOfTask } from '../domain/referral/transition.ts'
import type { ExplainedTriage, Triage } from '../domain/triage.ts'
import { EXCHANGE_CODES, SYSTEMS } from './codes.ts'
import { suitabilityFinding, urgencyFinding } from './decision-findings.ts'
import { concept, type DerivedContext, type Speaking } from './derived.ts'
import { developmentFindings } from './development-findings.ts'
import { footFindings } from './foot-findings.ts'
import type { Observation, Provenance, ServiceRequest, Task } from './r4/types.ts'
import { hasCode, rounded } from './reading.ts'
import { stateOfTask, withState } from './referral-task.ts'
import { higherPriority } from './request-priority.ts'
import { WORKFLOW_EXTENSIONS } from './workflow-codes.ts'
import { narrative, paragraph } from './xhtml.ts'

/** Every observation that a triage derives. Same triage and context, same content. */
export const triageFindings = (triage: ExplainedTriage, context: DerivedContext): Observation[] => [
  ...developmentFindings(triage, context),
  ...footFindings(triage, context),
  suitabilityFinding(triage, context),
  urgencyFinding(triage, context),
]

/**
 * What was made from what: every input version, the rule set, the size chart, the software.
 *
 * @param targets  versions of the derived resources
 * @param recorded instant of the recording
 */
export function triageProvenance(
  { ruleSet, sizing, asOf }: Triage,
  context: DerivedContext,
  { targets, recorded }: { readonly targets: readonly string[]; readonly recorded: string },
): Provenance {
  const { software } = context
  const computed = say('answer.computed', {
    software,
    asOf: day(asOf),
    ruleSet: `${ruleSet.id} ${ruleSet.version}`,
  })
  const identified = (value: string, display: string) => ({
    role: 'source' as const,
    what: { identifier: { system: SYSTEMS.exchange, value }, display },
  })
  return {
    resourceType: 'Provenance',
    id: context.idOf('provenance'),
    language: context.speaker.language,
    text: narrative(paragraph(context.speaker.therapist(computed))),
    target: targets.map((reference) => ({ reference })),
    occurredDateTime: asOf,
    recorded,
    activity: concept(EXCHANGE_CODES.triageResult),
    agent: [
      {
        type: concept({
          system: SYSTEMS.provenanceParticipant,
          code: 'assembler',
          display: 'Assembler',
        }),
        who: { type: 'Device', display: software },
      },
    ],
    entity: [
      identified(
        `rule-set/${ruleSet.id}/${ruleSet.version}`,
        `Rule set ${ruleSet.id} ${ruleSet.version}`,
      ),
      identified(
        `size-chart/${sizing.chart.id}/${sizing.chart.version}`,
        `Size chart ${sizing.chart.id} ${sizing.chart.version}`,
      ),
      ...context.inputs.map((reference) => ({ role: 'source' as const, what: { reference } })),
    ],
  }
}

/** A Task that has ended stays as it ended. */
export const isEnded = (task: Task): boolean => statesOfTask(task.status).some(isEndState)

/**
 * The Task of the referral after triage: its priority, never below the referrer's, its date, the results, and received when nobody
 * has taken it further. Undefined when the Task has ended.
 */
export function taskAfterTriage(
  task: Task,
  request: ServiceRequest,
  { suitability, urgency }: Triage,
  {
    results,
    now,
    speaker,
  }: { readonly results: readonly string[]; readonly now: string } & Speaking,
): Task | undefined {
  const state = stateOfTask(task)
  if (isEnded(task) || state === undefined) return undefined
  const next = stateAfterTriage(state, suitability.outcome === 'undetermined')
  const isMoved = ['in-triage', 'awaiting-information'].includes(next)
  return {
    ...(isMoved ? withState(task, next) : task),
    ...(isMoved ? { statusReason: { text: speaker.therapist(suitability.because) } } : {}),
    extension: [
      ...(task.extension ?? []).filter(({ url }) => url !== WORKFLOW_EXTENSIONS.urgencyScore),
      { url: WORKFLOW_EXTENSIONS.urgencyScore, valueDecimal: rounded(urgency.score, 1) },
    ],
    priority: higherPriority(request.priority, urgency.priority),
    lastModified: now,
    restriction: { ...task.restriction, period: { end: urgency.seeBy } },
    output: [
      ...results.map((reference) => ({
        type: concept(EXCHANGE_CODES.triageResult),
        valueReference: { reference },
      })),
      ...(task.output ?? []).filter(({ type }) => !hasCode(type, EXCHANGE_CODES.triageResult)),
    ],
  }
}
