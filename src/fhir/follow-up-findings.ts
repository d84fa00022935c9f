import type { CivilDate } from '../domain/calendar.ts'
import type { ChangeAfterFitting, Estimate } from '../domain/follow-up/change-after-fitting.ts'
import type { FollowUpResult, VisitFinding } from '../domain/follow-up/follow-up.ts'
import type { OutgrownDevice } from '../domain/follow-up/outgrown.ts'
import type { Message } from '../domain/messages/message.ts'
import type { Finding } from '../domain/truth.ts'
import { type Code, FOLLOW_UP_CODES, ruleCode } from './codes.ts'
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
import { fitCheckFinding } from './fit-check-finding.ts'
import { MILESTONE_CODES, SKILL_CODES } from './observed-codes.ts'
import type { Observation, ObservationComponent } from './r4/types.ts'
import { rounded } from './reading.ts'

/** Everything that a visit says about a child with its devices. Same visit and context, same content. */
export const followUpFindings = (
  found: FollowUpResult,
  asOf: CivilDate,
  context: DerivedContext,
): Observation[] => [
  outcomeFinding(found, asOf, context),
  ...(found.fitCheck === 'unknown' ? [] : [fitCheckFinding(found.fitCheck, asOf, context)]),
  sinceFinding(found, asOf, context),
  paceFinding(found.change, asOf, context),
  ...found.outgrown.flatMap((device) => nextSize(device, asOf, context)),
]

function outcomeFinding(
  { outcome, because, weeks, stopSigns, lost, outgrown, stalled, wear }: FollowUpResult,
  asOf: CivilDate,
  context: DerivedContext,
): Observation {
  const findings = [...stopSigns, lost, ...outgrown.map(({ finding }) => finding), stalled, wear]
  return findingObservation(context, {
    role: 'follow-up',
    code: FINDING_CODES.followUp,
    asOf,
    because: [because, ...findings.flatMap(asked)],
    evidence: findings.flatMap(({ evidence }) => evidence),
    valueCodeableConcept: concept(FOLLOW_UP_CODES[outcome], context.speaker.therapist(because)),
    components: [
      {
        code: concept(FINDING_CODES.weeksSinceDelivery),
        valueQuantity: quantity(weeks, 'weeks'),
      },
      ...findings.map((finding) => truthComponent(ruleCode(finding.rule), finding, context)),
    ],
  })
}

/** What somebody has to do. */
const asked = ({ wording }: VisitFinding): Message[] => (wording === undefined ? [] : [wording])

const truthComponent = (
  code: Code,
  { holds, because }: Finding,
  context: DerivedContext,
): ObservationComponent =>
  explained(context, because, (text) => ({
    code: concept(code),
    valueCodeableConcept: concept(TRUTH_CODES[holds], text),
  }))

/** Milestones and described skills since the delivery; those nobody looked at are left out. */
function sinceFinding({ since }: FollowUpResult, asOf: CivilDate, context: DerivedContext) {
  const codes: Readonly<Record<string, Code>> = { ...MILESTONE_CODES, ...SKILL_CODES }
  const seen = [...since.milestones, ...since.skills].filter(({ state }) => state !== 'unknown')
  const isNew = seen.filter(({ state }) => state === 'new')
  return findingObservation(context, {
    role: 'new-since-fitting',
    code: FINDING_CODES.newSinceFitting,
    asOf,
    because: isNew.map(({ finding }) => finding.because),
    evidence: seen.flatMap(({ finding }) => finding.evidence),
    valueInteger: isNew.length,
    components: seen.map(({ what, finding }) =>
      truthComponent(codes[what] ?? ruleCode(finding.rule), finding, context),
    ),
  })
}

function paceFinding(
  change: ChangeAfterFitting,
  asOf: CivilDate,
  context: DerivedContext,
): Observation {
  const common = {
    role: 'pace-after-fitting',
    code: FINDING_CODES.paceRatio,
    asOf,
    evidence: change.finding.evidence,
  }
  if (change.state === 'not-estimable')
    return findingObservation(context, {
      ...common,
      because: [change.finding.because],
      dataAbsentReason: notApplicable,
    })
  const { before, after, ratio, probabilityFaster, caution } = change
  return findingObservation(context, {
    ...common,
    because: [change.finding.because, caution],
    valueQuantity: quantity(ratio.value, 'ratio', 2),
    components: [
      interval(FINDING_CODES.paceRatioInterval, ratio),
      point(FINDING_CODES.paceBefore, before),
      interval(FINDING_CODES.paceBeforeInterval, before),
      point(FINDING_CODES.paceAfter, after),
      interval(FINDING_CODES.paceAfterInterval, after),
      {
        code: concept(FINDING_CODES.probabilityFaster),
        valueQuantity: { ...quantity(0, 'ratio'), value: rounded(probabilityFaster, 3) },
      },
    ],
  })
}

const point = (code: Code, { value }: Estimate): ObservationComponent => ({
  code: concept(code),
  valueQuantity: quantity(value, 'ratio', 2),
})

const interval = (code: Code, { interval: { low, high } }: Estimate): ObservationComponent => ({
  code: concept(code),
  valueRange: { low: quantity(low, 'ratio', 2), high: quantity(high, 'ratio', 2) },
})

/** The size that comes after one that is outgrown. */
function nextSize(
  { side, proposal }: OutgrownDevice,
  asOf: CivilDate,
  context: DerivedContext,
): Observation[] {
  if (proposal === undefined) return []
  const { size, because, evidence } = proposal
  return [
    findingObservation(context, {
      role: `next-size.${side}`,
      code: FINDING_CODES.nextSize,
      asOf,
      side,
      because: [because],
      evidence,
      ...(size === undefined ? { dataAbsentReason: unknownReason } : { valueString: size.code }),
    }),
  ]
}
