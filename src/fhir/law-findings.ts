import { earlyIntervention } from '../domain/law/early-intervention.ts'
import type { Deadlines } from '../domain/law/deadlines.ts'
import type { LateReferral, LateReferralClass } from '../domain/law/late-referral.ts'
import type { LawDate } from '../domain/law/law-date.ts'
import type { StateThresholdAnswer } from '../domain/law/state-thresholds.ts'
import { type CriterionAnswer, thresholdAnswer } from '../domain/law/threshold-answers.ts'
import { say } from '../domain/messages/message.ts'
import type { RuleSet } from '../domain/rules/rule-set.ts'
import type { Triage } from '../domain/triage.ts'
import { type Code, codesOf, ruleCode, SYSTEMS } from './codes.ts'
import {
  concept,
  type DerivedContext,
  explained,
  findingObservation,
  notApplicable,
  quantity,
  TRUTH_CODES,
  unknownReason,
} from './derived.ts'
import { FINDING_CODES } from './finding-codes.ts'
import { programmeFacts } from './programme-facts.ts'
import type { Observation, ObservationComponent, Patient } from './r4/types.ts'
import type { RecordEntry } from './record-facts.ts'

type Asked = Pick<Triage, 'asOf'>

/**
 * Dates and thresholds of early intervention, each an observation for information; none where nothing on
 * record says that this law concerns the child.
 */
export function lawFindings(
  record: {
    readonly entries: readonly RecordEntry[]
    readonly patient: { readonly reference: string; readonly resource: Patient }
  },
  { triage, rules }: { readonly triage: Triage; readonly rules: RuleSet },
  context: DerivedContext,
): Observation[] {
  const facts = programmeFacts(record.entries, record.patient, triage.asOf)
  const found = earlyIntervention(triage, facts, rules)
  if (found === undefined) return []
  return [
    datesFinding(found.deadlines, triage, context),
    ...(found.threshold === undefined ? [] : [thresholdFinding(found.threshold, triage, context)]),
  ]
}

function datesFinding(dates: Deadlines, { asOf }: Asked, context: DerivedContext): Observation {
  const { referralDue, clock, lateReferral, transition, planReviews, inspection } = dates
  const days = [
    referralDue,
    clock.due,
    clock.tolled,
    transition.thirdBirthday,
    transition.opens,
    transition.due,
    planReviews.next,
    planReviews.annual,
    ...(inspection === undefined ? [] : [inspection]),
  ]
  return findingObservation(context, {
    role: 'early-intervention-dates',
    code: FINDING_CODES.programmeDates,
    asOf,
    because: [say('part-c.not-our-clock')],
    evidence: dates.findings.flatMap(({ evidence }) => evidence),
    components: [
      ...days.flatMap((day) => dayComponents(day, context)),
      lateComponent(lateReferral, context),
    ],
  })
}

/** The day, and the day to work towards where it is another. */
function dayComponents(date: LawDate, context: DerivedContext): ObservationComponent[] {
  const component = explained(context, date.because, (text) => ({
    code: concept(ruleCode(date.rule), text),
    ...(date.holds === 'yes' ? { valueDateTime: date.on } : absent(date.holds)),
  }))
  if (date.holds !== 'yes' || date.workingTarget === undefined || date.workingTarget === date.on)
    return [component]
  const target = concept(ruleCode(`${date.rule}.work-towards`))
  return [component, { code: target, valueDateTime: date.workingTarget }]
}

/** `no` is that the law sets no day here. */
const absent = (holds: 'no' | 'unknown') => ({
  dataAbsentReason: holds === 'no' ? notApplicable : unknownReason,
})

const lateComponent = (late: LateReferral, context: DerivedContext): ObservationComponent =>
  explained(context, late.because, (text) => ({
    code: concept(ruleCode(late.rule), text),
    ...(late.class === 'unknown'
      ? absent('unknown')
      : { valueCodeableConcept: concept(lateCode(late.class)) }),
  }))

const lateCode = (late: LateReferralClass): Code =>
  codesOf(SYSTEMS.value)(`referral-${late}`, `Referral: ${late.replaceAll('-', ' ')}`)

/** Says of each number that it is reached or not; never whether a child is served. */
function thresholdFinding(
  { state, holds, because, criteria, evidence }: StateThresholdAnswer,
  { asOf }: Asked,
  context: DerivedContext,
): Observation {
  return findingObservation(context, {
    role: 'state-threshold',
    code: FINDING_CODES.stateThreshold,
    asOf,
    because: [because],
    evidence,
    valueCodeableConcept: answer(holds, context),
    components: [
      { code: concept(FINDING_CODES.state), valueString: state },
      ...criteria.flatMap((criterion) => criterionComponents(criterion, context)),
    ],
  })
}

const answer = (holds: CriterionAnswer['holds'], { speaker }: DerivedContext) =>
  concept(TRUTH_CODES[holds], speaker.therapist(thresholdAnswer(holds)))

function criterionComponents(
  { number, holds, probability, printedScore }: CriterionAnswer,
  context: DerivedContext,
): ObservationComponent[] {
  const named = (code: Code) => concept(code, context.speaker.therapist(number))
  return [
    { code: named(ruleCode(number.key)), valueCodeableConcept: answer(holds, context) },
    ...(probability === undefined
      ? []
      : [
          {
            code: named(FINDING_CODES.probabilityOfNumber),
            valueQuantity: quantity(100 * probability, 'percent'),
          },
        ]),
    ...(printedScore === undefined
      ? []
      : [
          {
            code: named(FINDING_CODES.printedScore),
            valueCodeableConcept: answer(printedScore, context),
          },
        ]),
  ]
}
