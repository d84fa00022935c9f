import { CAUTIONS } from '../domain/cautions.ts'
import type { TempoEstimate } from '../domain/development/tempo.ts'
import { type Message, percent, say } from '../domain/messages/message.ts'
import type { Triage } from '../domain/triage.ts'
import { type Code, EXCHANGE_CODES } from './codes.ts'
import { concept, type DerivedContext, forFamily, noteOf } from './derived.ts'
import type { RiskAssessment } from './r4/types.ts'
import { rounded } from './reading.ts'
import { list, narrative, paragraph } from './xhtml.ts'

interface Prediction {
  readonly outcome: Code
  /** 0 to 1. */
  readonly chance: number
  readonly because: Message
}

/** What is foretold, and how likely. None when the pace cannot be estimated. */
export function riskAssessment(
  { tempo, asOf }: Triage,
  context: DerivedContext,
): RiskAssessment | undefined {
  if (tempo.state !== 'estimated') return undefined
  const { language, therapist } = context.speaker
  const predictions = predictionsOf(tempo)
  return {
    resourceType: 'RiskAssessment',
    id: context.idOf('risk-assessment'),
    language,
    text: narrative(
      paragraph(therapist(tempo.finding.because)),
      list(predictions.map(({ because }) => therapist(because))),
    ),
    basedOn: { reference: context.referral },
    status: 'final',
    subject: { reference: context.patient },
    occurrenceDateTime: asOf,
    basis: context.inputs.map((reference) => ({ reference })),
    prediction: predictions.map(({ outcome, chance, because }) => ({
      extension: forFamily(context, because),
      outcome: concept(outcome, therapist(because)),
      probabilityDecimal: rounded(chance, 3),
    })),
    note: CAUTIONS.map(noteOf(context)),
  }
}

function predictionsOf({
  delayProbability: { atLeast25, atLeast33, atLeast50 },
  walkingAloneBy18Months,
  walkingPrognosis,
}: TempoEstimate): Prediction[] {
  const delay = (percentage: 25 | 33 | 50, outcome: Code, chance: number): Prediction => ({
    outcome,
    chance,
    because: say(`delay-chance.${percentage}`, { chance: percent(chance) }),
  })
  return [
    {
      outcome: EXCHANGE_CODES.walkingAloneBy18Months,
      chance: walkingAloneBy18Months,
      because: walkingPrognosis,
    },
    delay(25, EXCHANGE_CODES.delay25, atLeast25),
    delay(33, EXCHANGE_CODES.delay33, atLeast33),
    delay(50, EXCHANGE_CODES.delay50, atLeast50),
  ]
}
