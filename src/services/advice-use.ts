import type { Caller } from '../security/access-token.ts'
import { adviceOutcomes, type AdviceOutcome } from '../storage/advice-feedback.ts'
import { administrating } from './clients.ts'
import type { Context } from './context.ts'

type ShownOutcome = Omit<AdviceOutcome, 'reasonSystem' | 'reasonCode'> & {
  readonly reasonSystem?: string
  readonly reasonCode?: string
}

const ALWAYS = { start: '-infinity', end: 'infinity' }

/**
 * What became of the cards of CDS Hooks that the clinic's partners were shown, in numbers: of no child.
 *
 * @param period days, `start` within and `end` after it; all time where they are not given
 */
export const adviceUse = (
  context: Context,
  caller: Caller,
  period: { readonly start?: string | undefined; readonly end?: string | undefined },
): Promise<ShownOutcome[]> =>
  administrating(context, caller, async (tx) => {
    const { start = ALWAYS.start, end = ALWAYS.end } = period
    return (await adviceOutcomes(tx, caller.clinicId, { start, end })).map(shown)
  })

const shown = ({ reasonSystem, reasonCode, ...outcome }: AdviceOutcome): ShownOutcome => ({
  ...outcome,
  ...(reasonSystem === null ? {} : { reasonSystem }),
  ...(reasonCode === null ? {} : { reasonCode }),
})
