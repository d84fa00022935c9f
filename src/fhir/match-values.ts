import { bareCode, isBare } from './bare-tokens.ts'
import { isCaseSensitive } from './code-case.ts'
import { quantityMatches } from './match-ranges.ts'
import { rowsAt } from './match-rows.ts'
import type { Atom } from './r4/search-line.ts'
import type {
  Filter,
  PairCriterion,
  ReferenceCriterion,
  StringCriterion,
  TokenCriterion,
  UriCriterion,
} from './search-filter.ts'
import {
  identifierPath,
  type PairValue,
  type SearchValues,
  type StringValue,
  textPath,
  type TokenValue,
  type UriValue,
} from './search-index.ts'

type Token = Pick<TokenValue, 'system' | 'code'>

const isSame = (value: Token, { system, code, anyCase }: TokenCriterion): boolean =>
  (system === undefined || system === value.system) &&
  (code === undefined ||
    code === value.code ||
    (anyCase === value.code && !isCaseSensitive(value.system)))

/** Code and system as R4 3.1.1.4.10 has them. */
export function isToken(atom: Atom, value: Token, criterion: TokenCriterion): boolean {
  if (!isBare(atom)) return isSame(value, criterion)
  const asked = bareCode(atom, criterion)
  return asked === 'any' || asked?.code === value.code
}

/** A resource of ours by type and id, or an address elsewhere (3.1.1.4.12). */
export function leadsThere(
  atom: Atom,
  { references, uris }: SearchValues,
  criterion: ReferenceCriterion,
): boolean {
  const { targets } = atom
  if (criterion.kind === 'own')
    return rowsAt(references, [atom]).some(
      ({ targetType, targetId }) =>
        targetId === criterion.id &&
        (criterion.type === undefined || criterion.type === targetType) &&
        (targets.length === 0 || targets.includes(targetType)),
    )
  // Of what stands elsewhere nobody knows whether it is of the types that count.
  return (
    targets.length === 0 &&
    rowsAt(uris, [atom]).some(
      ({ value, version }) =>
        value === criterion.url &&
        (criterion.version === undefined || criterion.version === version),
    )
  )
}

export function isText(value: StringValue, { match, folded, exact }: StringCriterion): boolean {
  switch (match) {
    case 'prefix':
      return value.value.startsWith(folded)
    case 'contains':
      return value.value.includes(folded)
    case 'exact':
      return value.exact === exact
  }
}

export const isUri = (row: UriValue, { values, below, version }: UriCriterion): boolean =>
  (version === undefined || version === row.version) &&
  values.some((value) => row.value === value || (below && row.value.startsWith(`${value}/`)))

/** Both halves, of one element. */
export function isPair(row: PairValue, { second, ...first }: PairCriterion): boolean {
  if (!isSame(row, first)) return false
  const { secondSystem: system, secondCode: code, unit = '', low, high } = row
  switch (second.kind) {
    case 'token':
      return system !== undefined && code !== undefined && isSame({ system, code }, second.value)
    case 'quantity':
      return (
        low !== undefined &&
        high !== undefined &&
        quantityMatches({ low, high, unit, system: system ?? '', code: code ?? '' }, second.value)
      )
    case 'reference':
      return (
        second.value.kind === 'own' &&
        second.value.id === row.targetId &&
        (second.value.type === undefined || second.value.type === row.targetType)
      )
  }
}

/** Is there any value at the places, `:missing=false`? */
export function hasValue(
  { of, atoms }: Extract<Filter, { kind: 'missing' }>,
  { tokens, references, strings, uris, dates, quantities }: SearchValues,
): boolean {
  switch (of) {
    case 'token':
      return rowsAt(tokens, atoms).length + rowsAt(strings, atoms, textPath).length > 0
    case 'reference':
      return atoms.some((atom) =>
        atom.targets.length === 0
          ? rowsAt(references, [atom]).length +
              rowsAt(uris, [atom]).length +
              rowsAt(tokens, [atom], identifierPath).length >
            0
          : rowsAt(references, [atom]).some(({ targetType }) => atom.targets.includes(targetType)),
      )
    case 'string':
      return rowsAt(strings, atoms).length > 0
    case 'uri':
      return rowsAt(uris, atoms).length > 0
    case 'date':
      return rowsAt(dates, atoms).length > 0
    case 'number':
    case 'quantity':
      return rowsAt(quantities, atoms).length > 0
    case 'composite':
      return false
  }
}
