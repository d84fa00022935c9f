import { unsealedClinics } from '../storage/checkpoints.ts'
import { type Sealed, takeCheckpoint } from './checkpoints.ts'
import type { Context } from './context.ts'
import { type Repeated, repeated } from './repeated.ts'

/** So long a record stands in the log before a signature covers it. */
const EVERY_MS = 10_000

interface Told {
  readonly onSealed: (sealed: Sealed) => void
  readonly onFailure: (error: unknown) => void
}

/** Takes a checkpoint of every clinic's log in which something is new, every few seconds and at the end. */
export function keepCheckpoints(
  context: Pick<Context, 'db' | 'audit' | 'checkpointKeys' | 'now'>,
  { onSealed, onFailure }: Told,
): Repeated {
  let seen: number | undefined

  const once = async (): Promise<void> => {
    const count = context.audit.count()
    // Each process sees to what it wrote; what one that died left behind, to whoever looks next.
    if (count === seen) return
    try {
      for (const clinicId of await context.db.asOwner(unsealedClinics)) {
        const sealed = await takeCheckpoint(context, clinicId)
        if (sealed !== undefined) onSealed(sealed)
      }
      seen = count
    } catch (error) {
      onFailure(error)
    }
  }
  const repetition = repeated(EVERY_MS, once)
  return {
    stop: async () => {
      await repetition.stop()
      await once()
    },
  }
}
