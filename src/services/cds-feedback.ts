import { z } from 'zod'
import { malformed } from '../fhir/cds-prefetch.ts'
import type { CdsService } from '../fhir/cds-services.ts'
import type { Caller } from '../security/access-token.ts'
import { type AdviceFeedback, keepFeedback } from '../storage/advice-feedback.ts'
import { CDS_NEEDS } from './cds-advice.ts'
import { callFault, cdsFaults } from './cds-call.ts'
import type { Context } from './context.ts'
import { latestDay } from './day.ts'
import { unitOfWork } from './unit-of-work.ts'

const MOST = 100
/** Codes as FHIR has them, not too long; what somebody wrote in words is not kept. */
const Reason = z.looseObject({
  system: z
    .string()
    .regex(/^\S{1,200}$/)
    .optional(),
  code: z.string().regex(/^\S{1,64}$/),
})
const Item = z
  .looseObject({
    card: z.guid('The uuid of the card is needed.'),
    outcome: z.enum(['accepted', 'overridden'], 'The outcome is accepted or overridden.'),
    acceptedSuggestions: z
      .array(z.looseObject({ id: z.guid('The uuid of the suggestion is needed.') }))
      .min(1)
      .max(MOST)
      .optional(),
    overrideReason: z.looseObject({ reason: Reason.optional() }).optional(),
    outcomeTimestamp: z.iso.datetime('An instant in UTC is needed, such as 2026-03-02T09:00:00Z.'),
  })
  .refine(
    ({ outcome, acceptedSuggestions }) =>
      outcome === 'overridden' || acceptedSuggestions !== undefined,
    { path: ['acceptedSuggestions'], message: 'What was accepted names its suggestions.' },
  )
const LISTED = `A feedback array of 1 to ${MOST} cards is needed.`
export const CdsFeedbackSent = z.looseObject(
  { feedback: z.array(Item, LISTED).min(1, LISTED).max(MOST, LISTED) },
  LISTED,
)

/** Nothing has become of a card yet on a day that it is nowhere on earth. */
function refuseFuture(
  context: Context,
  items: readonly { readonly outcomeTimestamp: string }[],
): void {
  const latest = latestDay(context)
  const faults = items.flatMap(({ outcomeTimestamp }, index) =>
    outcomeTimestamp.slice(0, latest.length) > latest
      ? [callFault(`feedback.${index}.outcomeTimestamp`, 'The outcome lies in the future.')]
      : [],
  )
  if (faults.length > 0) throw malformed(faults)
}

/**
 * Keeps what became of cards: accepted or overridden, when, and the code of the reason. Comments may hold
 * anything about a child and are not kept. The same again changes nothing.
 */
export async function takeFeedback(
  context: Context,
  caller: Caller,
  { service, body }: { readonly service: CdsService; readonly body: unknown },
): Promise<void> {
  const { success, data, error } = CdsFeedbackSent.safeParse(body)
  if (!success) throw malformed(cdsFaults(error))
  refuseFuture(context, data.feedback)
  const { clinicId, clientId, partnerId = null } = caller
  const receivedAt = context.now().toISOString()
  const items = data.feedback.map((item): AdviceFeedback => {
    const { card, outcome, outcomeTimestamp, overrideReason } = item
    const reason = outcome === 'overridden' ? overrideReason?.reason : undefined
    return {
      clinicId,
      clientId,
      partnerId,
      service: service.id,
      card: card.toLowerCase(),
      outcome,
      reasonSystem: reason?.system ?? null,
      reasonCode: reason?.code ?? null,
      outcomeAt: outcomeTimestamp,
      receivedAt,
    }
  })
  await unitOfWork(context, caller, CDS_NEEDS, async (tx) => {
    for (const card of await keepFeedback(tx, items))
      caller.call.touch({ type: 'GuidanceResponse', id: card, did: 'created' })
  })
}
