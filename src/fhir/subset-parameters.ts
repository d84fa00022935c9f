import { AppError, type Fault } from '../errors.ts'
import { type AskedParameter, TEXT } from './asked-parameter.ts'
import type { Subset, Summary } from './summary.ts'

type Pairs = readonly (readonly [string, string])[]

const SUMMARIES: readonly Summary[] = ['true', 'text', 'data', 'false']
/** What a read is asked. */
export const SUBSET_PARAMETERS = {
  _summary: {
    name: '_summary',
    description: 'Which part of the resource is answered; all of it with false.',
    value: { type: 'string', enum: SUMMARIES },
  },
  _elements: {
    name: '_elements',
    description:
      'Elements at the root of the resource that are answered, beside those that R4 needs.',
    value: TEXT,
    several: 'commas',
  },
} as const satisfies Record<string, AskedParameter>

const ELEMENT = /^[A-Za-z][A-Za-z0-9]{0,63}(?:\[x\])?$/

/** Which part of a resource a read asks for, by _summary and _elements. Throws AppError with every fault. */
export function subsetParameters(pairs: Pairs): Subset {
  const faults: Fault[] = []
  const summary = summaryIn(pairs, faults)
  const elements = elementsIn(pairs, faults)
  if (elements !== undefined && summary !== undefined && summary !== 'false')
    faults.push(
      subsetFault('_elements', 'invalid', 'Either _summary or _elements is given, not both.'),
    )
  if (faults.length > 0)
    throw new AppError('invalid-request', 'There is no such part of a resource.', faults)
  return {
    ...(summary === undefined ? {} : { summary }),
    ...(elements === undefined ? {} : { elements }),
  }
}

function summaryIn(pairs: Pairs, faults: Fault[]): Summary | undefined {
  const given = valuesOf(pairs, '_summary')
  const [value] = given
  const known = SUMMARIES.find((one) => one === value)
  if (given.length > 1) faults.push(subsetFault('_summary', 'invalid', '_summary is given once.'))
  else if (value !== undefined && known === undefined)
    faults.push(
      subsetFault(
        '_summary',
        'value',
        '_summary is true, text, data or false; count is for a search alone.',
      ),
    )
  return known
}

function elementsIn(pairs: Pairs, faults: Fault[]): readonly string[] | undefined {
  const given = valuesOf(pairs, '_elements')
  if (given.length === 0) return undefined
  const names = given.flatMap((value) => value.split(',')).map((name) => name.trim())
  if (!names.every((name) => ELEMENT.test(name)))
    faults.push(
      subsetFault(
        '_elements',
        'value',
        '_elements lists names of elements at the root of the resource, separated by commas.',
      ),
    )
  return names
}

const valuesOf = (pairs: Pairs, name: keyof typeof SUBSET_PARAMETERS): string[] =>
  pairs.flatMap(([known, value]) => (known === name && value !== '' ? [value] : []))

const subsetFault = (name: string, code: string, text: string): Fault => ({
  severity: 'error',
  code,
  expression: `http.${name}`,
  rule: 'subset-parameter',
  text,
})
