import { type Message, say } from '../domain/messages/message.ts'
import { CANONICAL, type Code, codesOf } from './codes.ts'

export const OVERRIDE_SYSTEM = `${CANONICAL}/CodeSystem/override-reason`
const reason = codesOf(OVERRIDE_SYSTEM)

/** Why somebody does not follow a card: its code, and what it is called in each language. */
export const OVERRIDE_REASONS: readonly { readonly code: Code; readonly title: Message }[] = [
  {
    code: reason('already-referred', 'Already referred'),
    title: say('part.override-already-referred'),
  },
  {
    code: reason('family-declines', 'The family does not want it'),
    title: say('part.override-family-declines'),
  },
  {
    code: reason('other-service', 'Another service sees the child'),
    title: say('part.override-other-service'),
  },
  {
    code: reason('not-applicable', 'Does not apply to this child'),
    title: say('part.override-not-applicable'),
  },
  { code: reason('later', 'Looked at later'), title: say('part.override-later') },
]
