import { IntlMessageFormat } from 'intl-messageformat'
import { type CivilDate, civilDate, daysBetween } from '../calendar.ts'
import { CATALOGUES, type Language, type MessageKey } from './catalogues.ts'
import type { Day, Message, Value, Values, Voice } from './message.ts'

/** Says messages in one language. */
export interface Speaker {
  readonly language: Language
  readonly therapist: (message: Message) => string
  readonly family: (message: Message) => string
}

/** Sentences, lists and dates of a language and voice that are kept as they were said. */
const KEPT = 2_000

/** Most of what is said of a child was said of another: it is made once, as long as it is not too much. */
function keptLately(): (name: string, make: () => string) => string {
  const kept = new Map<string, string>()
  return (name, make) => {
    const known = kept.get(name)
    if (known !== undefined) return known
    const made = make()
    if (kept.size >= KEPT) kept.clear()
    kept.set(name, made)
    return made
  }
}

const SPEAKERS = new Map<Language, Speaker>()

/** The speaker of a language; its messages are read once. */
export function speaker(language: Language): Speaker {
  const known = SPEAKERS.get(language)
  if (known !== undefined) return known
  const made: Speaker = {
    language,
    therapist: voiceIn(language, 'therapist'),
    family: voiceIn(language, 'family'),
  }
  SPEAKERS.set(language, made)
  return made
}

function voiceIn(language: Language, voice: Voice): (message: Message) => string {
  const formats = new Map<MessageKey, IntlMessageFormat>()
  const lately = keptLately()
  const list = new Intl.ListFormat(language, { type: 'conjunction' })
  const calendar = new Intl.DateTimeFormat(language, { dateStyle: 'long', timeZone: 'UTC' })

  const formatOf = (key: MessageKey): IntlMessageFormat => {
    const known = formats.get(key)
    if (known !== undefined) return known
    const entry = CATALOGUES[language][key]
    const text = typeof entry === 'string' ? entry : entry[voice]
    const made = new IntlMessageFormat(text, language, undefined, { ignoreTag: true })
    formats.set(key, made)
    return made
  }
  const formatted = (key: MessageKey, values: Values): string => {
    let name: string = key
    const written: Record<string, string | number> = {}
    for (const [place, value] of Object.entries(values)) {
      const text = valueText(value)
      written[place] = text
      name += typeof text === 'number' ? ` ${text}` : ` ${text.length}:${text}`
    }
    return lately(name, () => String(formatOf(key).format(written)))
  }
  // One message is said several times: in the narrative, in a note and beside its value.
  const said = new WeakMap<Message, string>()
  const spoken = (message: Message): string => {
    const known = said.get(message)
    if (known !== undefined) return known
    const text =
      'all' in message ? message.all.map(spoken).join(' ') : formatted(message.key, message.values)
    said.set(message, text)
    return text
  }
  const valueText = (value: Value): string | number => {
    if (typeof value === 'string' || typeof value === 'number') return value
    if (isDay(value)) return lately(value.day, () => calendar.format(midnightOf(value.day)))
    if (isMessage(value)) return spoken(value)
    const parts = value.map(spoken)
    return lately(JSON.stringify(parts), () => list.format(parts))
  }
  return spoken
}

const isDay = (value: Day | Message | readonly Message[]): value is Day => 'day' in value
const isMessage = (value: Message | readonly Message[]): value is Message =>
  'key' in value || 'all' in value

const EPOCH = civilDate('1970-01-01')
const MS_PER_DAY = 86_400_000

/** As the formatter of a language counts time. Made once: to make it for each day takes far longer. */
const midnightOf = (day: CivilDate): number => daysBetween(EPOCH, day) * MS_PER_DAY
