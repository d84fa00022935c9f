import { SIDES } from '../domain/child.ts'
import type { Outcome } from '../domain/decision/suitability.ts'
import { type Decided, type DecidedSize, triageDifference } from '../domain/triage-difference.ts'
import { OUTCOME_CODES, SIDE_CODES } from './codes.ts'
import { numberOf } from './decimal.ts'
import { quantity } from './derived.ts'
import { FINDING_CODES } from './finding-codes.ts'
import type { Observation, ParametersParameter, Provenance } from './r4/types.ts'
import { hasCode } from './reading.ts'
import { differenceParts } from './what-if-parameters.ts'

/** A decision about a referral as it was kept. */
export interface KeptDecision {
  readonly provenance: Provenance
  readonly suitability: Observation
  readonly decided: Decided
}

/** What a triage decided, read from the findings that it kept; undefined when they are not all in sight. */
export function keptDecision(
  provenance: Provenance,
  findings: readonly Observation[],
): KeptDecision | undefined {
  const coded = (code: (typeof FINDING_CODES)[keyof typeof FINDING_CODES]) =>
    findings.find((one) => hasCode(one.code, code))
  const suitability = coded(FINDING_CODES.suitability)
  const score = coded(FINDING_CODES.urgency)?.valueQuantity?.value
  const outcome = (Object.keys(OUTCOME_CODES) as Outcome[]).find((one) =>
    hasCode(suitability?.valueCodeableConcept, OUTCOME_CODES[one]),
  )
  if (suitability === undefined || outcome === undefined || score === undefined) return undefined
  const size = (side: (typeof SIDES)[number]): DecidedSize => {
    const code = findings
      .find(
        (one) =>
          hasCode(one.code, FINDING_CODES.deviceSize) && hasCode(one.bodySite, SIDE_CODES[side]),
      )
      ?.valueString?.split(' (')[0]
    return code === undefined ? { state: 'unknown' } : { state: 'sized', size: { code } }
  }
  return {
    provenance,
    suitability,
    decided: {
      suitability: { outcome },
      urgency: { score: numberOf(score) },
      sizing: { left: size('left'), right: size('right') },
    },
  }
}

/** Each decision with the versions it was made from, and what differs from the one before it. */
export const decisionParameters = (decisions: readonly KeptDecision[]): ParametersParameter[] =>
  decisions.map((decision, index) => {
    const { provenance, suitability, decided } = decision
    const before = decisions[index - 1]
    const difference = before === undefined ? undefined : triageDifference(before.decided, decided)
    const { system, code, display } = OUTCOME_CODES[decided.suitability.outcome]
    return {
      name: 'decision',
      part: [
        { name: 'recorded', valueInstant: provenance.recorded },
        ...(suitability.effectiveDateTime === undefined
          ? []
          : [{ name: 'day', valueDate: suitability.effectiveDateTime }]),
        { name: 'suitability', valueCoding: { system, code, display } },
        { name: 'urgency', valueQuantity: quantity(decided.urgency.score, 'points') },
        { name: 'finding', valueReference: { reference: `Observation/${suitability.id ?? ''}` } },
        { name: 'provenance', valueReference: { reference: `Provenance/${provenance.id ?? ''}` } },
        ...sources(provenance, before?.provenance),
        ...(difference === undefined
          ? []
          : [{ name: 'difference', part: differenceParts(difference) }]),
      ],
    }
  })

const inputsOf = ({ entity = [] }: Provenance): string[] =>
  entity.flatMap(({ what }) => what.reference ?? [])

/** Rule set and size chart by their names, and every version of the record that was read. */
function sources(provenance: Provenance, before: Provenance | undefined): ParametersParameter[] {
  const named = (provenance.entity ?? []).flatMap(({ what }) => what.identifier?.value ?? [])
  const ofKind = (kind: string, name: string) =>
    named
      .filter((value) => value.startsWith(`${kind}/`))
      .map((value) => ({ name, valueString: value.slice(kind.length + 1).replace('/', '|') }))
  const inputs = inputsOf(provenance)
  const earlier = new Set(before === undefined ? inputs : inputsOf(before))
  const reference = (name: string) => (one: string) => ({
    name,
    valueReference: { reference: one },
  })
  return [
    ...ofKind('rule-set', 'ruleSet'),
    ...ofKind('size-chart', 'chart'),
    ...inputs.map(reference('input')),
    ...inputs.filter((one) => !earlier.has(one)).map(reference('newInput')),
  ]
}
