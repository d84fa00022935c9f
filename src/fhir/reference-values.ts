import { isObject } from './element.ts'
import { ownTarget } from './literal-reference.ts'
import type { Atom } from './r4/search-line.ts'
import { identifierPath, type ReferenceValue, type UriValue } from './search-index.ts'
import type { Add } from './search-rows.ts'
import { indexed } from './search-text.ts'
import { addTokens } from './token-values.ts'

/** A canonical and its version apart. */
export function canonicalOf(path: string, text: string): UriValue {
  const bar = text.lastIndexOf('|')
  return bar < 0
    ? { path, value: indexed(text), version: '' }
    : { path, value: indexed(text.slice(0, bar)), version: indexed(text.slice(bar + 1)) }
}

/** Adds the resource of this service that a reference, or a canonical without a version, leads to. */
export function addReference(
  into: ReferenceValue[],
  path: string,
  value: unknown,
  baseUrl: string,
): void {
  const target = ownTarget(isObject(value) ? value['reference'] : value, baseUrl)
  if (target !== undefined) into.push({ path, targetType: target.type, targetId: target.id })
}

/**
 * What a Reference leads to: a resource of ours, else the address that is written. One that has an identifier
 * or a display alone, or stays inside its resource, is a value too: it is not `:missing`.
 *
 * @param baseUrl ours: only references to it are resources of this service
 */
export function referenceAdder({ path }: Atom): Add {
  const identifier = { path: identifierPath(path), type: 'Identifier' }
  return (rows, value, baseUrl) => {
    const before = rows.references.length
    addReference(rows.references, path, value, baseUrl)
    if (typeof value === 'string') rows.uris.push(canonicalOf(path, value))
    if (!isObject(value)) return
    if (rows.references.length === before) {
      const literal = value['reference']
      const address = typeof literal === 'string' ? indexed(literal) : ''
      rows.uris.push({ path, value: address, version: '' })
    }
    if (value['identifier'] !== undefined) addTokens(rows.tokens, identifier, value['identifier'])
  }
}
