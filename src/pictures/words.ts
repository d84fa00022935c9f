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
    number: (value, digits = 0) => numbersOf(language, digits).format(value),
  }
}

const NUMBERS = new Map<string, Intl.NumberFormat>()

/** Made once: to make one takes far longer than to write a number with it. */
function numbersOf(language: Language, digits: number): Intl.NumberFormat {
  const key = `${language} ${digits}`
  const known = NUMBERS.get(key)
  if (known !== undefined) return known
  const made = new Intl.NumberFormat(language, { maximumFractionDigits: digits })
  NUMBERS.set(key, made)
  return made
}

const capitalised = (text: string, language: Language): string =>
  text.slice(0, 1).toLocaleUpperCase(language) + text.slice(1)
