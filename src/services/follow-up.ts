import { AppError } from '../errors.ts'
import { followUpFindings } from '../fhir/follow-up-findings.ts'
import type { Caller } from '../security/access-token.ts'
import { askedReferral, type Question } from './asked-referral.ts'
import { collectionOf } from './bundle-text.ts'
import type { Context } from './context.ts'
import { firstVersion } from './new-version.ts'
import { unitOfWork } from './unit-of-work.ts'
import { wornFollowUp } from './worn-follow-up.ts'

/**
 * How a child is doing with the devices that were delivered: fit, pace before and after, new skills,
 * outgrown, stop signs, and what follows from it all. Nothing is stored.
 */
export function evaluateFollowUp(
  now: Context,
  caller: Caller,
  question: Question,
): Promise<string> {
  const needs = [
    { type: 'ServiceRequest', letter: 'r' },
    { type: 'Observation', letter: 'r' },
    { type: 'QuestionnaireResponse', letter: 'r' },
    { type: 'DeviceUseStatement', letter: 'r' },
  ] as const
  return unitOfWork(now, caller, needs, async (tx) => {
    const { context, record, day, basis } = await askedReferral(tx, now, caller, question)
    const followed = wornFollowUp(context, record, day, basis)
    if (followed === undefined)
      throw new AppError(
        'business-rule',
        'No device in use is on record: an active DeviceUseStatement of an orthosis is needed.',
      )
    const updatedAt = context.now().toISOString()
    const { partnerId } = record.referral.stored
    const versions = followUpFindings(followed.found, day, followed.derived).map((resource) =>
      firstVersion(resource, { partnerId, updatedAt, baseUrl: context.baseUrl }),
    )
    return collectionOf(context.baseUrl, versions)
  })
}
