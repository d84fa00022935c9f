import { and, count, desc, eq, gte, lt, max } from 'drizzle-orm'
import { adviceFeedback } from './advice-schema.ts'
import type { Tx } from './transaction.ts'

export type AdviceFeedback = typeof adviceFeedback.$inferInsert

/** @returns the cards of which this was not known yet, each once */
export async function keepFeedback(
  tx: Tx,
  items: readonly AdviceFeedback[],
): Promise<readonly string[]> {
  const added = await tx.drizzle
    .insert(adviceFeedback)
    .values([...items])
    .onConflictDoNothing()
    .returning({ card: adviceFeedback.card })
  return [...new Set(added.map(({ card }) => card))]
}

/** What became of the cards of one service, for one reason. */
export interface AdviceOutcome {
  readonly service: string
  readonly outcome: 'accepted' | 'overridden'
  /** Of an override that said why. */
  readonly reasonSystem: string | null
  readonly reasonCode: string | null
  readonly cards: number
  /** ISO instant. */
  readonly last: string
}

/** How often cards were accepted and overridden, and why, the most frequent first. */
export async function adviceOutcomes(
  tx: Tx,
  clinicId: string,
  { start, end }: { readonly start: string; readonly end: string },
): Promise<AdviceOutcome[]> {
  const { service, outcome, reasonSystem, reasonCode, outcomeAt } = adviceFeedback
  const rows = await tx.drizzle
    .select({
      service,
      outcome,
      reasonSystem,
      reasonCode,
      cards: count(),
      last: max(outcomeAt),
    })
    .from(adviceFeedback)
    .where(and(eq(adviceFeedback.clinicId, clinicId), gte(outcomeAt, start), lt(outcomeAt, end)))
    .groupBy(service, outcome, reasonSystem, reasonCode)
    .orderBy(desc(count()), service, outcome, reasonSystem, reasonCode)
  return rows.map(({ last, ...row }) => ({ ...row, last: new Date(last ?? 0).toISOString() }))
}
