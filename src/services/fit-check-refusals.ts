import { type Side, SIDES } from '../domain/child.ts'
import { fitCheck } from '../domain/plan/fit-check.ts'
import type { FitCheckItem } from '../domain/plan/fitting.ts'
import type { RuleSet } from '../domain/rules/rule-set.ts'
import { AppError, type Fault } from '../errors.ts'
import { isFitCheck } from '../fhir/fit-check-answers.ts'
import type { QuestionnaireResponse } from '../fhir/r4/types.ts'
import type { Change } from './intake-triage.ts'

/**
 * Refuses an answered fit check that answers what nobody asked of the devices that the child wears, or in
 * another way than it was asked: it would be taken for an answer and be none.
 */
export function refuseMisanswered(
  own: readonly Change[],
  sides: readonly Side[],
  rules: RuleSet,
): void {
  const items = fitCheck(sides, rules)
  const faults = own.flatMap(({ written: { resource }, resourceAt }) =>
    resource?.resourceType === 'QuestionnaireResponse' && isFitCheck(resource)
      ? faultsOf(resource, resourceAt, items)
      : [],
  )
  if (faults.length > 0)
    throw new AppError('invalid-resource', 'The fit check cannot be taken.', faults)
}

const nameOf = ({ id, side }: FitCheckItem): string => (side === undefined ? id : `${id}.${side}`)

function faultsOf(
  { item = [], status }: QuestionnaireResponse,
  at: string,
  items: readonly FitCheckItem[],
): Fault[] {
  if (status !== 'completed' && status !== 'amended') return []
  return item.flatMap(({ linkId, answer = [] }, index) => {
    const asked = items.find((one) => nameOf(one) === linkId)
    const itemAt = `${at}.item[${index}]`
    if (asked === undefined) return [fault(`${itemAt}.linkId`, notAsked(linkId))]
    return answer.flatMap(({ valueBoolean }, place) =>
      (valueBoolean !== undefined) === (asked.answer === 'yes-no')
        ? []
        : [fault(`${itemAt}.answer[${place}]`, KINDS[asked.answer])],
    )
  })
}

const notAsked = (linkId: string): string =>
  SIDES.some((side) => linkId.endsWith(`.${side}`))
    ? 'The child wears no device on this foot, or this is no item of the fit check.'
    : 'This is no item of the fit check.'

const KINDS: Readonly<Record<FitCheckItem['answer'], string>> = {
  'yes-no': 'true or false is needed, as valueBoolean.',
  mm: 'A length is needed, as valueQuantity.',
  minutes: 'A time is needed, as valueQuantity.',
}

const fault = (expression: string, text: string): Fault => ({
  severity: 'error',
  code: 'value',
  expression,
  rule: 'fit-check-answer',
  text,
})
