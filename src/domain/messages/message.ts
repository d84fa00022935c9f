import type { CivilDate } from '../calendar.ts'
import type { MessageKey } from './catalogues.ts'

/** Who is spoken to. */
export const VOICES = ['therapist', 'family'] as const
export type Voice = (typeof VOICES)[number]

/** What is to be said, in no language and no voice yet. */
export type Message = Said | Several

/** One sentence, or one term of a sentence, of the catalogue. */
export interface Said {
  readonly key: MessageKey
  readonly values: Values
}

/** Sentences that follow one another. */
export interface Several {
  readonly all: readonly Message[]
}

/** A day is written out in the language, messages are said in the same language and voice. */
export type Value = string | number | Day | Message | readonly Message[]
export type Values = Readonly<Record<string, Value>>

export interface Day {
  readonly day: CivilDate
}

const NOTHING: Values = {}

/** @param values what stands in the braces of the message; numbers unrounded, in the unit the message names */
export const say = (key: MessageKey, values: Values = NOTHING): Said => ({ key, values })

export const day = (on: CivilDate): Day => ({ day: on })

/** Each of the messages once, one after the other. */
export function together(messages: readonly Message[]): Message {
  const [first] = messages
  return messages.length === 1 && first !== undefined ? first : { all: messages }
}

/** A probability from 0 to 1, in percent. It is never certain: "over 99.9 %", "under 0.1 %", else "42.5 %". */
export function percent(probability: number): Said {
  const tenths = Math.round(probability * 1000)
  if (tenths >= 1000) return say('percent.over')
  return tenths <= 0 ? say('percent.under') : say('percent.about', { percent: tenths / 10 })
}
