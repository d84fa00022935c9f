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
  const [tag = '', quality = 'q=1', ...more] = text.split(';', 3).map((part) => part.trim())
  const weight = /^q=([01](?:\.\d{0,3})?)$/.exec(quality)?.[1]
  const isRange = tag === '*' || /^[A-Za-z]{1,8}(?:-[A-Za-z0-9]{1,8}){0,4}$/.test(tag)
  return isRange && weight !== undefined && more.length === 0
    ? [{ tag: tag.toLowerCase(), weight: Number(weight) }]
    : []
}
