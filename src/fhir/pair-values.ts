import { isObject } from './element.ts'
import { placeTree, type PlaceTree, visitPlaces } from './place-tree.ts'
import { quantitiesOf } from './quantity-values.ts'
import type { Atom, Part } from './r4/search-line.ts'
import { addReference } from './reference-values.ts'
import { pairPath, type PairValue, type ReferenceValue, type TokenValue } from './search-index.ts'
import type { SearchParam } from './search-params.ts'
import type { Add } from './search-rows.ts'
import { addTokens } from './token-values.ts'

type SecondHalf = Omit<PairValue, 'path' | 'system' | 'code'>

const pathsOf = ({ atoms }: Part): string => atoms.map(({ path }) => path).join('|')

/** The path under which the pairs of a composite stand, for one of its anchors. */
export function pathOfPair({ parts }: SearchParam, anchor: string): string {
  const [tokens, others] = tokenFirst(parts)
  return pairPath(anchor, pathsOf(tokens), pathsOf(others))
}

/** The token half first; the order in which a caller writes the halves is the parameter's own. */
export function tokenFirst([first, second]: readonly Part[]): readonly [Part, Part] {
  if (first === undefined || second === undefined) throw new Error('A composite has two halves')
  return first.kind === 'token' ? [first, second] : [second, first]
}

const treeOf = ({ atoms }: Part): PlaceTree<Atom> =>
  placeTree(atoms.map((atom) => [atom.path, atom]))

/**
 * The pairs of a composite parameter, of each element at one of its anchors. Of the resource itself there
 * are none: what is true of a single element is found by both halves alone.
 */
export function pairAdder(param: SearchParam, anchor: string): Add {
  const path = pathOfPair(param, anchor)
  const [tokens, others] = tokenFirst(param.parts)
  const [tokenTree, otherTree] = [treeOf(tokens), treeOf(others)]
  return ({ pairs }, element, baseUrl) => {
    if (!isObject(element)) return
    const firsts: TokenValue[] = []
    visitPlaces(tokenTree, element, (atom, value) => addTokens(firsts, atom, value))
    if (firsts.length === 0) return
    const seconds: SecondHalf[] = []
    visitPlaces(otherTree, element, (atom, value) =>
      seconds.push(...secondHalves(others, atom, { value, baseUrl })),
    )
    for (const { system, code } of firsts)
      for (const second of seconds) pairs.push({ path, system, code, ...second })
  }
}

function secondHalves(
  { kind }: Part,
  atom: Atom,
  { value, baseUrl }: { readonly value: unknown; readonly baseUrl: string },
): SecondHalf[] {
  switch (kind) {
    case 'token': {
      const found: TokenValue[] = []
      addTokens(found, atom, value)
      return found.map(({ system, code }) => ({ secondSystem: system, secondCode: code }))
    }
    case 'quantity':
      return quantitiesOf(atom.path, value).map(({ low, high, system, code, unit }) => ({
        low,
        high,
        unit,
        secondSystem: system,
        secondCode: code,
      }))
    case 'reference': {
      const found: ReferenceValue[] = []
      addReference(found, atom.path, value, baseUrl)
      return found.map(({ targetType, targetId }) => ({ targetType, targetId }))
    }
    default:
      return []
  }
}
