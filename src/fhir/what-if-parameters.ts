import type { RuleSet } from '../domain/rules/rule-set.ts'
import type { Change, TriageDifference } from '../domain/triage-difference.ts'
import type { Fault } from '../errors.ts'
import { type Code, OUTCOME_CODES, SIDE_CODES } from './codes.ts'
import { quantity } from './derived.ts'
import type { ParametersParameter } from './r4/types.ts'

/** How many open referrals would be decided otherwise, and in what. */
export interface WhatIfCounts {
  readonly children: number
  readonly referrals: number
  readonly changed: number
  readonly suitability: number
  readonly priority: number
  readonly urgency: number
  readonly size: number
  readonly notComputed: number
}

const named = ({ id, version }: Pick<RuleSet, 'id' | 'version'>): string => `${id}|${version}`

/** What is compared: the rule set in force, and the one that might be. */
export const comparedRuleSets = (inForce: RuleSet, asked: RuleSet): ParametersParameter[] => [
  { name: 'inForce', valueString: named(inForce) },
  { name: 'ruleSet', valueString: named(asked) },
]

/** One referral that would be decided otherwise. @param referral `ServiceRequest/1` */
export const changeParameter = (
  referral: string,
  difference: TriageDifference,
): ParametersParameter => ({
  name: 'change',
  part: [
    { name: 'referral', valueReference: { reference: referral } },
    ...differenceParts(difference),
  ],
})

/** What is decided otherwise, each with what it was and what it is. */
export const differenceParts = ({
  suitability,
  priority,
  urgency,
  sizes,
}: TriageDifference): ParametersParameter[] => [
  ...fromTo('suitability', suitability, (outcome) => ({
    valueCoding: coding(OUTCOME_CODES[outcome]),
  })),
  ...fromTo('priority', priority, (value) => ({ valueCode: value })),
  ...fromTo('urgency', urgency, (score) => ({ valueQuantity: quantity(score, 'points') })),
  ...sizes.flatMap(({ side, ...size }) =>
    fromTo('size', size, (code) => ({ valueString: code }), [
      { name: 'side', valueCoding: coding(SIDE_CODES[side]) },
    ]),
  ),
]

const coding = ({ system, code, display }: Code) => ({ system, code, display })

function fromTo<T>(
  name: string,
  change: Change<T> | undefined,
  valued: (value: T) => Omit<ParametersParameter, 'name'>,
  before: readonly ParametersParameter[] = [],
): ParametersParameter[] {
  if (change === undefined) return []
  const { from, to } = change
  return [
    {
      name,
      part: [...before, { name: 'from', ...valued(from) }, { name: 'to', ...valued(to) }],
    },
  ]
}

/** One referral whose record cannot be true, so that nothing is computed from it. */
export const notComputedParameter = (
  referral: string,
  { expression, text }: Fault,
): ParametersParameter => ({
  name: 'notComputed',
  part: [
    { name: 'referral', valueReference: { reference: referral } },
    { name: 'element', valueString: expression },
    { name: 'reason', valueString: text },
  ],
})

export const countParameters = (counts: WhatIfCounts): ParametersParameter[] => [
  { name: 'children', valueInteger: counts.children },
  { name: 'referrals', valueInteger: counts.referrals },
  { name: 'changed', valueInteger: counts.changed },
  { name: 'changedSuitability', valueInteger: counts.suitability },
  { name: 'changedPriority', valueInteger: counts.priority },
  { name: 'changedUrgency', valueInteger: counts.urgency },
  { name: 'changedSize', valueInteger: counts.size },
  { name: 'notComputedReferrals', valueInteger: counts.notComputed },
]
