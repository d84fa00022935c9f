import { type Language, LANGUAGES } from '../domain/messages/catalogues.ts'

const MOST = 20

interface Range {
  readonly tag: string
  readonly weight: number
}

/** The language of ours that an `Accept-Language` prefers (RFC 9110 12.5.4); the other where it names none. */
export function acceptedLanguage(header: string | undefined, otherwise: Language): Language {
  const ranges = (header ?? '')
    .split(',', MOST)
    .flatMap(rangeOf)
    .filter(({ weight }) => weight > 0)
    .toSorted((one, other) => other.weight - one.weight)
  for (const { tag } of ranges) {
    if (tag === '*') return otherwise
    const language = LANGUAGES.find((one) => tag === one || tag.startsWith(`${one}-`))
    if (language !== undefined) return language
  }
  return otherwise
}

function rangeOf(text: string): Range[] {
  const [, tag, weight = '1'] =
    /^\s*([A-Za-z]{1,8}(?:-[A-Za-z0-9]{1,8}){0,4}|\*)\s*(?:;\s*q=([01](?:\.\d{0,3})?))?\s*$/.exec(
      text,
    ) ?? []
  return tag === undefined ? [] : [{ tag: tag.toLowerCase(), weight: Number(weight) }]
}
