import { type Message, say } from './messages/message.ts'

/** What holds for everything that is computed here; shown with every result. */
export const CAUTIONS: readonly Message[] = [
  say('caution.decision-support'),
  say('caution.fast-reference'),
  say('caution.payer-rules'),
  say('caution.physician-at-once'),
]
