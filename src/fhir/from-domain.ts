import { CAUTIONS } from '../domain/cautions.ts'
import type { Triage } from '../domain/triage.ts'
import { percentText } from '../domain/wording.ts'
import { type Code, EXCHANGE_CODES, SYSTEMS } from './codes.ts'
import { suitabilityFinding, urgencyFinding } from './decision-findings.ts'
import { concept, type DerivedContext } from './derived.ts'
import { developmentFindings } from './development-findings.ts'
import { footFindings } from './foot-findings.ts'
import type { Observation, Provenance, RiskAssessment, ServiceRequest, Task } from './r4/types.ts'
import { rounded } from './reading.ts'
import { list, narrative, paragraph } from './xhtml.ts'

/** Every observation that a triage derives. Same triage and context, same content. */
export const triageFindings = (triage: Triage, context: DerivedContext): Observation[] => [
  ...developmentFindings(triage, context),
  ...footFindings(triage, context),
  suitabilityFinding(triage, context),
  urgencyFinding(triage, context),
]

/** Probabilities are 0 to 1. None when the pace cannot be estimated: then nothing can be foretold. */
export function riskAssessment(
  { tempo, asOf }: Triage,
  context: DerivedContext,
): RiskAssessment | undefined {
  if (tempo.state !== 'estimated') return undefined
  const { delayProbability } = tempo
  const predictions: [Code, number][] = [
    [EXCHANGE_CODES.walkingAloneBy18Months, tempo.walkingAloneBy18Months],
    [EXCHANGE_CODES.delay25, delayProbability.atLeast25],
    [EXCHANGE_CODES.delay33, delayProbability.atLeast33],
    [EXCHANGE_CODES.delay50, delayProbability.atLeast50],
  ]
  return {
    resourceType: 'RiskAssessment',
    id: context.idOf('risk-assessment'),
    text: narrative(
      paragraph(tempo.finding.because),
      list(predictions.map(([code, value]) => `${code.display}: ${percentText(value)}`)),
    ),
    basedOn: { reference: context.referral },
    status: 'final',
    subject: { reference: context.patient },
    occurrenceDateTime: asOf,
    basis: context.inputs.map((reference) => ({ reference })),
    prediction: predictions.map(([code, value]) => ({
      outcome: concept(code),
      probabilityDecimal: rounded(value, 3),
    })),
    note: CAUTIONS.map(({ therapist }) => ({ text: therapist })),
  }
}

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
  const identified = (value: string, display: string) => ({
    role: 'source' as const,
    what: { identifier: { system: SYSTEMS.exchange, value }, display },
  })
  return {
    resourceType: 'Provenance',
    id: context.idOf('provenance'),
    text: narrative(
      paragraph(
        `Computed by ${context.software} for ${asOf} under rule set ${ruleSet.id} ${ruleSet.version}.`,
      ),
    ),
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
        who: { type: 'Device', display: context.software },
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

/** From the least to the most urgent. */
const PRIORITIES = ['routine', 'urgent', 'asap', 'stat'] as const
type RequestPriority = (typeof PRIORITIES)[number]

/** The referrer's word is never lowered. */
const higher = (asked: RequestPriority | undefined, computed: RequestPriority): RequestPriority =>
  asked !== undefined && PRIORITIES.indexOf(asked) > PRIORITIES.indexOf(computed) ? asked : computed

/** A Task that has ended stays as it ended. */
const ENDED = new Set(['rejected', 'cancelled', 'failed', 'completed', 'entered-in-error'])

export const isEnded = ({ status }: Task): boolean => ENDED.has(status)

/**
 * The Task of the referral after triage: its priority, never below the referrer's, its date, the results, and received when nobody
 * has taken it further. Undefined when the Task has ended.
 */
export function taskAfterTriage(
  task: Task,
  request: ServiceRequest,
  { suitability, urgency }: Triage,
  { results, now }: { readonly results: readonly string[]; readonly now: string },
): Task | undefined {
  if (isEnded(task)) return undefined
  const waiting = suitability.outcome === 'undetermined'
  const state: Partial<Task> =
    task.status === 'requested' || task.status === 'received'
      ? {
          status: 'received',
          businessStatus: concept(
            waiting ? EXCHANGE_CODES.awaitingInformation : EXCHANGE_CODES.inTriage,
          ),
          statusReason: { text: suitability.because },
        }
      : {}
  return {
    ...task,
    ...state,
    priority: higher(request.priority, urgency.priority),
    lastModified: now,
    restriction: { ...task.restriction, period: { end: urgency.seeBy } },
    output: results.map((reference) => ({
      type: concept(EXCHANGE_CODES.triageResult),
      valueReference: { reference },
    })),
  }
}
