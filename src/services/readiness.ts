import type { Context } from './context.ts'

/** Does the database answer? */
export async function isReady({ db }: Context): Promise<boolean> {
  try {
    await db.asOwner((tx) => tx.query({ text: 'select 1' }))
    return true
  } catch {
    return false
  }
}
