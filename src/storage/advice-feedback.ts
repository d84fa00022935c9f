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
