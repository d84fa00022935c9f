import { isObject, type JsonObject } from './element.ts'
import type { Atom } from './r4/search-line.ts'
import { ofTypePath, type StringValue, textPath, type TokenValue } from './search-index.ts'
import { folded, indexed } from './search-text.ts'

const text = (value: unknown): string | undefined =>
  typeof value === 'string' && value !== '' ? value : undefined

const token = (path: string, system: unknown, code: unknown): TokenValue[] => {
  const given = text(code)
  const of = text(system)
  // A coding of which only the system is known is found by its system.
  if (given === undefined && of === undefined) return []
  return [
    {
      path,
      system: of === undefined ? '' : indexed(of),
      code: given === undefined ? '' : indexed(given),
    },
  ]
}

const codingsOf = (concept: JsonObject): JsonObject[] =>
  Array.isArray(concept['coding']) ? concept['coding'].filter(isObject) : []

/** The tokens that one value stands for. */
export function tokensOf(
  { path, type }: Pick<Atom, 'path' | 'type'>,
  value: unknown,
): TokenValue[] {
  if (type === 'exists') return token(path, '', 'true')
  if (typeof value === 'boolean') return token(path, '', String(value))
  if (typeof value === 'string') return token(path, '', value)
  if (!isObject(value)) return []
  if (type === 'CodeableConcept')
    return codingsOf(value).flatMap((coding) => token(path, coding['system'], coding['code']))
  if (type === 'Identifier')
    return [...token(path, value['system'], value['value']), ...typedIdentifier(path, value)]
  // A telephone number has no system of codes (3.1.1.4.10).
  if (type === 'ContactPoint') return token(path, '', value['value'])
  return token(path, value['system'], value['code'])
}

/** For `:of-type`: the type of an identifier and its value. */
function typedIdentifier(path: string, identifier: JsonObject): TokenValue[] {
  const type = identifier['type']
  const value = text(identifier['value'])
  if (!isObject(type) || value === undefined) return []
  return codingsOf(type).map((coding) => ({
    path: ofTypePath(path),
    system: indexed(`${text(coding['system']) ?? ''}|${text(coding['code']) ?? ''}`),
    code: indexed(value),
  }))
}

/** For `:text`: what the codings of a value and its own text say to people. */
export function tokenTexts({ path, type }: Atom, value: unknown): StringValue[] {
  if (!isObject(value)) return []
  const texts =
    type === 'CodeableConcept'
      ? [value['text'], ...codingsOf(value).map((coding) => coding['display'])]
      : type === 'Coding'
        ? [value['display']]
        : type === 'Identifier' && isObject(value['type'])
          ? [value['type']['text']]
          : []
  return texts.flatMap((one) => {
    const given = text(one)
    return given === undefined
      ? []
      : [{ path: textPath(path), value: folded(given), exact: indexed(given) }]
  })
}
