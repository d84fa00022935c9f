import { dateCriterion, numberCriterion, quantityCriteria } from './query-ranges.ts'
import { type Given, refuse, refuseModifier } from './query-reading.ts'
import {
  canonicalCriterion,
  referenceCriterion,
  stringCriterion,
  tokenCriterion,
  uriCriterion,
} from './query-values.ts'
import type { Atom, SearchKind } from './r4/search-line.ts'
import { isResourceType } from './resource-types.ts'
import type { Filter } from './search-filter.ts'
import { identifierPath, isFamilyName, partPath } from './search-index.ts'
import { tokenFilter } from './query-tokens.ts'

/** Where a condition is asked, and of which kind. */
export interface Place {
  readonly kind: Exclude<SearchKind, 'composite'>
  readonly atoms: readonly Atom[]
  /** Of a reference: what it may lead to. */
  readonly targets?: readonly string[]
}

/** The filter of a plain parameter or of one half of a composite; undefined when it was refused. */
export function placeFilter(
  place: Place,
  texts: readonly string[],
  modifier: string | undefined,
  given: Given,
): Filter | undefined {
  const { kind, atoms, targets = [] } = place
  if (modifier === 'missing') return missingFilter(place, texts, given)
  switch (kind) {
    case 'token':
      return tokenFilter(atoms, texts, modifier, given)
    case 'reference':
      return openReferences(referenceFilter(atoms, texts, modifier, given), targets, given)
    case 'string': {
      if (modifier !== undefined && modifier !== 'contains' && modifier !== 'exact')
        return refuseModifier(given, modifier)
      const match = modifier ?? 'prefix'
      const values = texts.map((text) => stringCriterion(text, match))
      return { kind, atoms: match === 'prefix' ? withParts(atoms) : atoms, values }
    }
    case 'uri':
      return uriFilter(atoms, texts, modifier, given)
    case 'date': {
      if (modifier !== undefined) return refuseModifier(given, modifier)
      const values = all(texts, (text) => dateCriterion(text, given.reading.now))
      return values === undefined ? refuse(given, 'value', DATE) : { kind, atoms, values }
    }
    case 'number':
    case 'quantity': {
      if (modifier !== undefined) return refuseModifier(given, modifier)
      const values =
        kind === 'number' ? all(texts, numberCriterion) : all(texts, quantityCriteria)?.flat()
      return values === undefined
        ? refuse(given, 'value', kind === 'number' ? NUMBER : QUANTITY)
        : { kind: 'quantity', atoms, values }
    }
  }
}

/** A family name is found by each of its parts. */
const withParts = (atoms: readonly Atom[]): readonly Atom[] =>
  atoms.flatMap((atom) =>
    isFamilyName(atom.path) ? [atom, { ...atom, path: partPath(atom.path) }] : [atom],
  )

export const DATE = 'A date is written YYYY, YYYY-MM, YYYY-MM-DD or with time and zone.'
const NUMBER = 'A number is written as in JSON, a prefix such as gt may stand before it.'
const QUANTITY = `${NUMBER} A unit follows as |system|code or ||code.`

/** All of them, or undefined when one is not what it should be. */
function all<T>(texts: readonly string[], read: (text: string) => T | undefined): T[] | undefined {
  const values = texts.map(read)
  return values.every((value) => value !== undefined) ? values : undefined
}

export function missingFilter(
  { kind, atoms }: Place,
  texts: readonly string[],
  given: Given,
): Filter | undefined {
  const [text, ...others] = texts
  if (others.length > 0 || (text !== 'true' && text !== 'false'))
    return refuse(given, 'value', ':missing is true or false.')
  return { kind: 'missing', of: kind, atoms, missing: text === 'true' }
}

function referenceFilter(
  atoms: readonly Atom[],
  texts: readonly string[],
  modifier: string | undefined,
  given: Given,
): Filter | undefined {
  if (modifier === 'identifier') {
    const identifiers = atoms.map((atom) => ({
      ...atom,
      path: identifierPath(atom.path),
      type: 'Identifier',
    }))
    const values = texts.map((text) => tokenCriterion(text, identifiers))
    return { kind: 'token', atoms: identifiers, values, negated: false }
  }
  if (modifier !== undefined && !isResourceType(modifier)) return refuseModifier(given, modifier)
  const { baseUrl } = given.reading
  if (atoms.every(({ type }) => type !== 'Reference'))
    return {
      kind: 'reference',
      atoms,
      values: texts.map((text) => canonicalCriterion(text, baseUrl)),
    }
  return {
    kind: 'reference',
    atoms,
    values: texts.flatMap((text) => referenceCriterion(text, { modifier, baseUrl }) ?? []),
  }
}

/** A bare id may be that of several types: which are meant is kept, so that doubt can be refused. */
function openReferences(
  filter: Filter | undefined,
  types: readonly string[],
  { sentAs }: Given,
): Filter | undefined {
  if (filter?.kind !== 'reference' || types.length < 2) return filter
  const values = filter.values.map((value) =>
    value.kind === 'own' && value.type === undefined
      ? { ...value, open: { types, sentAs } }
      : value,
  )
  return { ...filter, values }
}

function uriFilter(
  atoms: readonly Atom[],
  texts: readonly string[],
  modifier: string | undefined,
  given: Given,
): Filter | undefined {
  if (modifier !== undefined && modifier !== 'above' && modifier !== 'below')
    return refuseModifier(given, modifier)
  const isCanonical = atoms.every(({ type }) => type === 'canonical')
  const values = all(texts, (text) => uriCriterion(text, modifier, isCanonical))
  return values === undefined
    ? refuse(given, 'value', `:${modifier} is for http and https URLs.`)
    : { kind: 'uri', atoms, values }
}
