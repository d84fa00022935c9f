import { bareCode } from './bare-tokens.ts'
import { comparedToken } from './code-case.ts'
import { type Given, refuse, refuseModifier } from './query-reading.ts'
import { ofTypeCriterion, stringCriterion, tokenCriterion, unescaped } from './query-values.ts'
import type { Atom } from './r4/search-line.ts'
import type { Filter, TokenCriterion } from './search-filter.ts'
import { ofTypePath, textPath } from './search-index.ts'

/** The filter of a token parameter with its modifier. */
export function tokenFilter(
  atoms: readonly Atom[],
  texts: readonly string[],
  modifier: string | undefined,
  given: Given,
): Filter | undefined {
  switch (modifier) {
    case undefined:
    case 'not':
      return plain(atoms, texts, modifier === 'not')
    case 'text':
      return {
        kind: 'string',
        atoms: atoms.map((atom) => ({ ...atom, path: textPath(atom.path), type: 'string' })),
        values: texts.map((text) => stringCriterion(text, 'prefix')),
      }
    case 'of-type':
      return ofType(atoms, texts, given)
    case 'in':
    case 'not-in':
      return inValueSet(atoms, texts, modifier, given)
    default:
      return refuseModifier(given, modifier)
  }
}

function plain(atoms: readonly Atom[], texts: readonly string[], negated: boolean): Filter {
  const values = texts.map((text) => tokenCriterion(text, atoms))
  // `deceased`: a boolean, or true by a date being there; without either it is false.
  if (!atoms.some(({ type }) => type === 'exists')) return { kind: 'token', atoms, values, negated }
  const token = (isNegated: boolean): Filter => ({
    kind: 'token',
    atoms,
    values: [{ code: 'true' }],
    negated: isNegated,
  })
  const isNamed = (code: string) =>
    values.some((value) => {
      const asked = bareCode({ type: 'boolean' }, value)
      return asked === 'any' || asked?.code === code
    })
  return {
    kind: negated ? 'all' : 'any',
    filters: [
      ...(isNamed('true') ? [token(negated)] : []),
      ...(isNamed('false') ? [token(!negated)] : []),
    ],
  }
}

function ofType(atoms: readonly Atom[], texts: readonly string[], given: Given) {
  if (atoms.some(({ type }) => type !== 'Identifier')) return refuseModifier(given, 'of-type')
  const values = texts.map(ofTypeCriterion)
  if (!values.every((value) => value !== undefined))
    return refuse(given, 'value', ':of-type is written system|code|value.')
  return {
    kind: 'token' as const,
    atoms: atoms.map((atom) => ({ ...atom, path: ofTypePath(atom.path) })),
    values,
    negated: false,
  }
}

function inValueSet(
  atoms: readonly Atom[],
  texts: readonly string[],
  modifier: 'in' | 'not-in',
  given: Given,
): Filter | undefined {
  const values: TokenCriterion[] = []
  for (const text of texts) {
    const codes = given.reading.codesOf?.(unescaped(text))
    if (codes === undefined)
      return refuse(
        given,
        'not-supported',
        `This value set is not known here; :${modifier} needs it.`,
      )
    const types = atoms.map(({ type }) => type)
    values.push(...codes.map((code) => comparedToken(types, code)))
  }
  return { kind: 'token', atoms, values, negated: modifier === 'not-in' }
}
