import { fittingPlan } from '../domain/plan/fitting.ts'
import { planBundle } from '../fhir/plan-bundle.ts'
import { drawPicture, type PictureKind } from '../pictures/picture.ts'
import { pictureFacts } from '../pictures/picture-facts.ts'
import type { Caller } from '../security/access-token.ts'
import { askedReferral, type Question } from './asked-referral.ts'
import type { Context } from './context.ts'
import { compute } from './referral-record.ts'
import { unitOfWork } from './unit-of-work.ts'

/** What a plan foretells: milestones, growth, wearing time. */
const KINDS: readonly PictureKind[] = ['milestones', 'growth', 'wear']

/** The fitting plan of a suitable child, as a proposal. Nothing is stored. */
export function proposePlan(now: Context, caller: Caller, question: Question): Promise<string> {
  const needs = [
    { type: 'ServiceRequest', letter: 'r' },
    { type: 'CarePlan', letter: 'r' },
  ] as const
  return unitOfWork(now, caller, needs, async (tx) => {
    const { context, record, day, basis } = await askedReferral(tx, now, caller, question)
    const { triage, derived } = compute(context, record, day, basis)
    const facts = pictureFacts(triage, basis)
    const pictures = KINDS.map((kind) => drawPicture(kind, facts, basis.speaker))
    return planBundle(fittingPlan(triage, basis.rules), triage, { ...derived, pictures })
  })
}
