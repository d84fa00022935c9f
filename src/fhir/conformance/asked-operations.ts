import {
  type AskedParameter,
  INSTANT,
  DAY,
  TEXT,
  type ValueForm,
  YES_OR_NO,
} from '../asked-parameter.ts'
import type { OperationDefinitionParameter } from '../r4/types.ts'
import { type Operation, PARAMETERS } from './operation.ts'
import { OPERATIONS } from './operation-definitions.ts'

/** How a value of an R4 type is written in an address; a Reference as its reference. */
const WRITTEN: Readonly<Record<string, ValueForm>> = {
  boolean: YES_OR_NO,
  code: TEXT,
  date: DAY,
  dateTime: TEXT,
  id: TEXT,
  instant: INSTANT,
  integer: { type: 'integer', minimum: 0 },
  Reference: TEXT,
  string: TEXT,
}

/** What of an operation of ours may stand in its address: its parameters but for whole resources (R4 3.2.0.6.1). */
export function askedInAddress(type: Operation['type'], code: string): readonly AskedParameter[] {
  const operation = OPERATIONS.find((one) => one.type === type && one.code === code)
  if (operation === undefined) throw new Error(`There is no operation ${type}/$${code}`)
  return operation.parameters.flatMap((name) => {
    const parameter = PARAMETERS[name]
    const value = WRITTEN[parameter?.type ?? '']
    return parameter === undefined || value === undefined ? [] : [asked(parameter, value)]
  })
}

const asked = (
  { name, documentation = '', min, max }: OperationDefinitionParameter,
  value: ValueForm,
): AskedParameter => ({
  name,
  description: documentation,
  value,
  ...(min > 0 ? { required: true } : {}),
  ...(max === '*' ? { several: 'repeated' } : {}),
})
