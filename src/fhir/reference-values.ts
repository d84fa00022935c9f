import { isObject, type JsonObject } from './element.ts'
import { ownTarget } from './literal-reference.ts'
import type { Atom } from './r4/search-line.ts'
import {
  identifierPath,
  type ReferenceValue,
  type TokenValue,
  type UriValue,
} from './search-index.ts'
import { indexed } from './search-text.ts'
import { tokensOf } from './token-values.ts'

/** What a reference is found by. */
export interface ReferenceValues {
  readonly references: readonly ReferenceValue[]
  readonly uris: readonly UriValue[]
  readonly tokens: readonly TokenValue[]
}

const NONE: ReferenceValues = { references: [], uris: [], tokens: [] }

/** A canonical and its version apart. */
export function canonicalOf(path: string, text: string): UriValue {
  const bar = text.lastIndexOf('|')
  return bar < 0
    ? { path, value: indexed(text), version: '' }
    : { path, value: indexed(text.slice(0, bar)), version: indexed(text.slice(bar + 1)) }
}

/** @param baseUrl ours: only references to it are resources of this service */
export function referenceValues({ path }: Atom, value: unknown, baseUrl: string): ReferenceValues {
  if (typeof value === 'string') return { ...NONE, uris: [canonicalOf(path, value)] }
  if (!isObject(value)) return NONE
  const literal = value['reference']
  const target = ownTarget(literal, baseUrl)
  return {
    references:
      target === undefined ? [] : [{ path, targetType: target.type, targetId: target.id }],
    uris:
      typeof literal === 'string' && target === undefined && !literal.startsWith('#')
        ? [{ path, value: indexed(literal), version: '' }]
        : [],
    tokens: identifierTokens(path, value),
  }
}

function identifierTokens(path: string, reference: JsonObject): TokenValue[] {
  const at = { path: identifierPath(path), type: 'Identifier' }
  return tokensOf(at, reference['identifier']).filter((row) => row.path === at.path)
}
