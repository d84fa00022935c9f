import { askedWrongly } from '../errors.ts'
import { ANSWER_FORM, type AskedParameter, namesOf, TEXT, YES_OR_NO } from './asked-parameter.ts'
import { ownTarget } from './literal-reference.ts'
import { parameterFault, untakenFaults } from './query-values.ts'

const COMPOSITION: AskedParameter = {
  name: 'id',
  description: 'The Composition, by its id or its address on this server.',
  value: TEXT,
  required: true,
}
/** Of the operation $document of R4, by the address of a Composition. */
export const DOCUMENT_PARAMETERS: readonly AskedParameter[] = [
  {
    name: 'persist',
    description: 'false, as without it: the Bundle is not kept. true is refused.',
    value: YES_OR_NO,
  },
]
/** At the level of the type a Composition is named by a parameter, and there alone. */
export const DOCUMENT_OF_TYPE_PARAMETERS = [COMPOSITION, ...DOCUMENT_PARAMETERS]

/**
 * Which Composition $document is asked for, and whether as it can be. Throws AppError with every fault.
 *
 * @param inAddress the id in the address; undefined at the level of the type
 */
export function documentAsked(
  pairs: readonly (readonly [string, string])[],
  { inAddress, baseUrl }: { readonly inAddress: string | undefined; readonly baseUrl: string },
): string {
  const rows = inAddress === undefined ? DOCUMENT_OF_TYPE_PARAMETERS : DOCUMENT_PARAMETERS
  const faults = untakenFaults(pairs, namesOf([...rows, ...ANSWER_FORM]))
  if (pairs.some(([name, value]) => name === 'persist' && value !== 'false'))
    faults.push(
      parameterFault(
        'persist',
        'not-supported',
        'The Bundle is made when it is asked for; it is not kept. Leave persist out.',
      ),
    )
  const id = inAddress ?? idOf(pairs, baseUrl)
  if (id === undefined)
    faults.push(
      parameterFault('id', 'required', 'One Composition of this server is needed, by its id.'),
    )
  if (faults.length > 0 || id === undefined) throw askedWrongly(faults)
  return id
}

function idOf(pairs: readonly (readonly [string, string])[], baseUrl: string): string | undefined {
  const [given, ...more] = pairs.filter(([name]) => name === COMPOSITION.name)
  if (given === undefined || more.length > 0) return undefined
  if (/^[A-Za-z0-9\-.]{1,64}$/.test(given[1])) return given[1]
  const target = ownTarget(given[1], baseUrl)
  return target?.type === 'Composition' ? target.id : undefined
}
