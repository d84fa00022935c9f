import type { MessageKey } from '../domain/messages/catalogues.ts'
import { type Message, say } from '../domain/messages/message.ts'
import type { SourceId } from '../domain/tables/sources.ts'
import type { Words } from '../pictures/words.ts'
import type { DocumentFacts } from './document-facts.ts'

/** One thing that a paper has to hold, and what of it is known. */
export interface Element {
  readonly label: MessageKey
  readonly of: (facts: DocumentFacts, words: Words) => Known
}

export interface Checklist {
  readonly title: MessageKey
  readonly source: SourceId
  readonly elements: readonly Element[]
}

/** What there is and what of it is open; complete when nothing is open. */
export interface Known {
  readonly there: readonly Text[]
  readonly open: readonly Message[]
  /** Nothing at all is there. */
  readonly isMissing: boolean
}

/** Texts of the record stay as they were recorded. */
export type Text = Message | string

export const there = (...texts: readonly Text[]): Known => ({
  there: texts,
  open: [],
  isMissing: false,
})

export const MISSING: Known = { there: [], open: [], isMissing: true }

/** There when it is known, else missing. */
export const known = (text: Text | undefined): Known => (text === undefined ? MISSING : there(text))

/** Each part that is known, and the names of those that are not. */
export function parts(
  some: readonly (readonly [name: MessageKey | Message, known: Text | boolean | undefined])[],
): Known {
  const isKnown = (value: Text | boolean | undefined) => value !== undefined && value !== false
  const found = some.flatMap(([name, value]): Text[] =>
    isKnown(value)
      ? [typeof value === 'boolean' || value === undefined ? messageOf(name) : value]
      : [],
  )
  const open = some.flatMap(([name, value]) => (isKnown(value) ? [] : [messageOf(name)]))
  return { there: found, open, isMissing: found.length === 0 }
}

const messageOf = (name: MessageKey | Message): Message =>
  typeof name === 'string' ? say(name) : name

export const isComplete = ({ isMissing, open }: Known): boolean => !isMissing && open.length === 0

/** What of an element is known, in words. */
export function knownText({ there: texts, open, isMissing }: Known, words: Words): string {
  const openWords = open.map(words.of).join(', ')
  if (isMissing)
    return openWords === ''
      ? words.say('part.paper-is-missing')
      : words.say('part.paper-only-missing', { open: openWords })
  const text = texts.map((one) => (typeof one === 'string' ? one : words.of(one))).join('; ')
  return openWords === ''
    ? text
    : words.say('part.paper-open-parts', { known: text, open: openWords })
}

/** The rows of a checklist: each element, and what is known of it. */
export const rowsOf = (
  { elements }: Checklist,
  facts: DocumentFacts,
  words: Words,
): readonly (readonly string[])[] =>
  elements.map(({ label, of }) => [words.say(label), knownText(of(facts, words), words)])

/** What of a checklist is missing, whole or in part. */
export const missingOf = (
  { elements }: Checklist,
  facts: DocumentFacts,
  words: Words,
): readonly string[] =>
  elements.flatMap(({ label, of }) => {
    const found = of(facts, words)
    if (isComplete(found)) return []
    const open = found.open.map(words.of).join(', ')
    return [open === '' ? words.say(label) : `${words.say(label)}: ${open}`]
  })
