import { setImmediate as turn } from 'node:timers/promises'
import type { CivilDate } from '../domain/calendar.ts'
import { ImplausibleRecord } from '../domain/implausible.ts'
import type { RuleSet } from '../domain/rules/rule-set.ts'
import { ASSESSMENT_SECTIONS } from '../domain/assessed-child.ts'
import { assessed, decided } from '../domain/triage.ts'
import { triageDifference } from '../domain/triage-difference.ts'
import { AppError } from '../errors.ts'
import { writeJson } from '../fhir/decimal.ts'
import { implausibleFault } from '../fhir/implausible-fault.ts'
import type { ParametersParameter } from '../fhir/r4/types.ts'
import {
  changeParameter,
  comparedRuleSets,
  countParameters,
  notComputedParameter,
} from '../fhir/what-if-parameters.ts'
import type { Caller } from '../security/access-token.ts'
import type { Tx } from '../storage/transaction.ts'
import { type Basis, basisOf } from './basis.ts'
import { caseload } from './caseload.ts'
import type { Context } from './context.ts'
import { childOf, currentDay, type ReferralRecord } from './referral-record.ts'
import { ruleSetOf } from './rule-sets.ts'
import { unitOfReading } from './unit-of-work.ts'

export interface WhatIfRequest {
  readonly libraryId: string
  readonly asOf: CivilDate | undefined
}

/** Where an answer goes while it is made. */
export interface Sink {
  /** Resolves when more may come. */
  readonly write: (text: string) => Promise<void>
  /** Aborted when nobody waits for the answer any more. */
  readonly signal: AbortSignal
}

/**
 * Which open referrals of the clinic would be decided otherwise under the rule set of a Library? Compared
 * with the one in force, for today or another day, on one snapshot. Nothing is stored; no more than a batch
 * of records is in memory.
 */
export function whatIf(
  context: Context,
  caller: Caller,
  request: WhatIfRequest,
  sink: Sink,
): Promise<void> {
  const needs = [
    { type: 'Library', letter: 'r' },
    { type: 'ServiceRequest', letter: 'r' },
    { type: 'Patient', letter: 'r' },
    { type: 'Observation', letter: 'r' },
    { type: 'Condition', letter: 'r' },
  ] as const
  return unitOfReading(context, caller, needs, async (tx) => {
    const rules = await ruleSetOf(tx, context, caller.clinicId, request.libraryId)
    if (rules === undefined) throw new AppError('not-found', 'There is no such Library.')
    const basis = await basisOf(tx, context, caller)
    await compare(tx, context, caller, { asOf: request.asOf, rules, basis, sink })
  })
}

interface Comparison {
  readonly asOf: CivilDate | undefined
  readonly rules: RuleSet
  readonly basis: Basis
  readonly sink: Sink
}

/** Are a child's ages, milestones, pace and posture the same under both? */
const sameAssessment = (one: RuleSet, other: RuleSet): boolean =>
  ASSESSMENT_SECTIONS.every(
    (section) => JSON.stringify(one[section]) === JSON.stringify(other[section]),
  )

async function compare(
  tx: Tx,
  context: Context,
  { clinicId }: Caller,
  { asOf, rules, basis, sink }: Comparison,
): Promise<void> {
  const counts = new Counts()
  const under = { rules, basis, shared: sameAssessment(basis.rules, rules) }
  const opening = comparedRuleSets(basis.rules, rules).map(writeJson).join(',')
  await sink.write(`{"resourceType":"Parameters","parameter":[${opening}`)
  for await (const batch of caseload(tx, context, clinicId)) {
    let text = ''
    for (const { patientId, record } of batch) {
      sink.signal.throwIfAborted()
      const day = asOf ?? currentDay(context, record)
      const found = outcomeOf(record, day, under)
      counts.add(patientId, found)
      if (found.parameter !== undefined) text += `,${writeJson(found.parameter)}`
      // Others are answered in between.
      await turn()
    }
    if (text !== '') await sink.write(text)
  }
  await sink.write(`,${countParameters(counts).map(writeJson).join(',')}]}`)
}

const KINDS = ['suitability', 'priority', 'urgency', 'size'] as const
type Kind = (typeof KINDS)[number]

interface Compared {
  /** None when nothing would change. */
  readonly parameter: ParametersParameter | undefined
  readonly kinds: readonly Kind[] | 'not-computed'
}

function outcomeOf(
  record: ReferralRecord,
  day: CivilDate,
  { rules, basis, shared }: Pick<Comparison, 'rules' | 'basis'> & { readonly shared: boolean },
): Compared {
  const referral = `ServiceRequest/${record.referral.stored.id}`
  try {
    const { child } = childOf(record, day)
    const { chart } = basis
    const now = assessed(child, day, basis.rules)
    const then = shared ? now : assessed(child, day, rules)
    const difference = triageDifference(
      decided(now, { rules: basis.rules, chart }),
      decided(then, { rules, chart }),
    )
    if (difference === undefined) return { parameter: undefined, kinds: [] }
    const kinds = KINDS.filter((kind) =>
      kind === 'size' ? difference.sizes.length > 0 : difference[kind] !== undefined,
    )
    return { parameter: changeParameter(referral, difference), kinds }
  } catch (error) {
    if (!(error instanceof ImplausibleRecord)) throw error
    const parameter = notComputedParameter(referral, implausibleFault(error))
    return { parameter, kinds: 'not-computed' }
  }
}

class Counts {
  children = 0
  referrals = 0
  changed = 0
  suitability = 0
  priority = 0
  urgency = 0
  size = 0
  notComputed = 0
  /** Referrals of one child come side by side. */
  private last: string | undefined

  add(patientId: string, { kinds }: Compared): void {
    if (patientId !== this.last) this.children += 1
    this.last = patientId
    this.referrals += 1
    if (kinds === 'not-computed') this.notComputed += 1
    else if (kinds.length > 0) {
      this.changed += 1
      for (const kind of kinds) this[kind] += 1
    }
  }
}
