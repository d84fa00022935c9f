import { type Language, LANGUAGES } from '../domain/messages/catalogues.ts'
import type { Message } from '../domain/messages/message.ts'
import { speaker } from '../domain/messages/speaker.ts'
import type { Element } from './r4/types.ts'

const TRANSLATION = 'http://hl7.org/fhir/StructureDefinition/translation'

/** The same sentence for the therapist in every language but one, as the twin of its text. */
export const translations = (message: Message, but: Language): Element => ({
  extension: LANGUAGES.filter((language) => language !== but).map((language) => ({
    url: TRANSLATION,
    extension: [
      { url: 'lang', valueCode: language },
      { url: 'content', valueString: speaker(language).therapist(message) },
    ],
  })),
})
