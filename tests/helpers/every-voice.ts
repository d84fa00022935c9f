import { LANGUAGES } from '../../src/domain/messages/catalogues.ts'
import type { Message } from '../../src/domain/messages/message.ts'
import { speaker } from '../../src/domain/messages/speaker.ts'

const SENTENCES = /^[\p{Lu}¿¡\d].*[.?!]$/su
const UNFILLED = /[{}]|undefined|NaN|\[object/

/**
 * Sentences that are not fit to be said in some language: without begin or end, with a value
 * missing, or the same to both readers. Nothing to say is a fault too.
 */
export function faultsInVoices(messages: readonly Message[]): string[] {
  if (messages.length === 0) return ['nothing is said']
  return messages.flatMap((message) =>
    LANGUAGES.flatMap((language) => {
      const { therapist, family } = speaker(language)
      const texts = [therapist(message), family(message)]
      const faults = texts.filter((text) => !SENTENCES.test(text) || UNFILLED.test(text))
      return texts[0] === texts[1] ? [...faults, `same to both: ${texts[0]}`] : faults
    }),
  )
}
