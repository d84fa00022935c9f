import { askedWrongly } from '../errors.ts'
import { planUrl, REFERRAL_PLAN } from './conformance/referral-plan.ts'
import { isObject } from './element.ts'
import { parameterPlace, parameterRefused, sentParameters } from './sent-parameters.ts'

/** Of $apply at the level of the type (R4, PlanDefinition-apply); by the address of a plan there is none. */
export const PLAN_PARAMETER = 'planDefinition'

/**
 * The id of the plan that is sent to be applied. Plans are applied as they are published here, so the one that is
 * sent has to be it, by its canonical URL. Throws AppError for any other.
 */
export function planSent(body: unknown): string {
  const [given, ...more] = sentParameters(body).given(PLAN_PARAMETER)
  const plan = isObject(given) ? given['resource'] : undefined
  const isOurs =
    isObject(plan) &&
    plan['resourceType'] === 'PlanDefinition' &&
    plan['url'] === planUrl(REFERRAL_PLAN)
  if (isOurs && more.length === 0) return REFERRAL_PLAN
  const text = `One PlanDefinition is needed as the parameter ${PLAN_PARAMETER}: ${planUrl(REFERRAL_PLAN)}, as it is published here. No other is applied.`
  throw askedWrongly([parameterRefused(parameterPlace(PLAN_PARAMETER), text)])
}
