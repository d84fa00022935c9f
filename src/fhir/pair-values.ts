import { elementsAt, valuesOf } from './atom-values.ts'
import type { Part } from './r4/search-line.ts'
import { referenceValues } from './reference-values.ts'
import { pairPath, type PairValue } from './search-index.ts'
import type { SearchParam } from './search-params.ts'
import { quantitiesOf } from './quantity-values.ts'
import { tokensOf } from './token-values.ts'

type Half = Omit<PairValue, 'path'>

const pathsOf = ({ atoms }: Part): string => atoms.map(({ path }) => path).join('|')

/** The path under which the pairs of a composite stand, for one of its anchors. */
export const pathOfPair = ({ parts }: SearchParam, anchor: string): string =>
  pairPath(
    anchor,
    ...([tokenFirst(parts)[0], tokenFirst(parts)[1]].map(pathsOf) as [string, string]),
  )

/** The token half first; the order in which a caller writes the halves is the parameter's own. */
export function tokenFirst([first, second]: readonly Part[]): readonly [Part, Part] {
  if (first === undefined || second === undefined) throw new Error('A composite has two halves')
  return first.kind === 'token' ? [first, second] : [second, first]
}

/**
 * The pairs of a composite parameter. Of the resource itself there are none: what is true of a single
 * element is found by both halves alone.
 */
export function pairsOf(param: SearchParam, resource: unknown, baseUrl: string): PairValue[] {
  const [tokens, others] = tokenFirst(param.parts)
  return param.anchors
    .filter((anchor) => anchor !== '')
    .flatMap((anchor) => {
      const path = pathOfPair(param, anchor)
      return elementsAt(resource, anchor).flatMap((element) => {
        const firsts = tokens.atoms.flatMap((atom) =>
          valuesOf(element, atom).flatMap((value) => tokensOf(atom, value)),
        )
        const seconds = secondHalves(others, element, baseUrl)
        return firsts.flatMap(({ system, code }) =>
          seconds.map((second) => ({ path, system, code, ...second })),
        )
      })
    })
}

function secondHalves(
  part: Part,
  element: unknown,
  baseUrl: string,
): Omit<Half, 'system' | 'code'>[] {
  return part.atoms.flatMap((atom) =>
    valuesOf(element, atom).flatMap((value): Omit<Half, 'system' | 'code'>[] => {
      switch (part.kind) {
        case 'token':
          return tokensOf(atom, value).map(({ system, code }) => ({
            secondSystem: system,
            secondCode: code,
          }))
        case 'quantity':
          return quantitiesOf(atom.path, value).map(({ low, high, system, code, unit }) => ({
            low,
            high,
            unit,
            secondSystem: system,
            secondCode: code,
          }))
        case 'reference':
          return referenceValues(atom, value, baseUrl).references.map(
            ({ targetType, targetId }) => ({
              targetType,
              targetId,
            }),
          )
        default:
          return []
      }
    }),
  )
}
