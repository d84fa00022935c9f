import type { Language, MessageKey } from '../domain/messages/catalogues.ts'
import { type Message, say, type Values, type Voice } from '../domain/messages/message.ts'
import { speaker } from '../domain/messages/speaker.ts'

/** To whom and in which language a picture speaks. */
export interface Tongue {
  readonly language: Language
  /** The therapist unless said otherwise. */
  readonly voice?: Voice
}

export interface Words {
  readonly language: Language
  readonly voice: Voice
  readonly of: (message: Message) => string
  /** A term that stands by itself, as a heading. */
  readonly title: (message: Message) => string
  readonly say: (key: MessageKey, values?: Values) => string
  /** With at most so many digits after the point. */
  readonly number: (value: number, digits?: number) => string
}

export function wordsOf({ language, voice = 'therapist' }: Tongue): Words {
  const of = speaker(language)[voice]
  return {
    language,
    voice,
    of,
    title: (message) => capitalised(of(message), language),
    say: (key, values) => of(say(key, values)),
    number: (value, digits = 0) =>
      new Intl.NumberFormat(language, { maximumFractionDigits: digits }).format(value),
  }
}

const capitalised = (text: string, language: Language): string =>
  text.slice(0, 1).toLocaleUpperCase(language) + text.slice(1)
