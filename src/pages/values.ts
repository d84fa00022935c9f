import type { z } from 'zod'
import { named, type Quantity, type Valued } from './answers.ts'

type Amount = z.infer<typeof Quantity>

/** A number alone has the unit 1 in UCUM, which nobody says. */
const amount = ({ value, unit }: Amount): string =>
  [value, unit === '1' ? undefined : unit].filter((part) => part !== undefined).join(' ')

interface Ends {
  readonly low?: Amount | undefined
  readonly high?: Amount | undefined
}

function span({ low, high }: Ends): string {
  if (high?.value === undefined) return low === undefined ? '' : `from ${amount(low)}`
  if (low?.value === undefined) return `up to ${amount(high)}`
  return low.value === high.value ? amount(high) : `${low.value} to ${amount(high)}`
}

/** A value in words; empty when there is none. */
export function valueOf(one: Valued): string {
  const { valueQuantity, valueRange, valueDateTime, valuePeriod } = one
  const { valueBoolean, valueInteger, valueString } = one
  if (valueQuantity?.value !== undefined) return amount(valueQuantity)
  if (valueRange !== undefined) return span(valueRange)
  if (valueDateTime !== undefined) return valueDateTime
  if (valuePeriod !== undefined)
    return [valuePeriod.start, valuePeriod.end].map((day) => day ?? '…').join(' to ')
  if (valueBoolean !== undefined) return valueBoolean ? 'yes' : 'no'
  if (valueInteger !== undefined) return String(valueInteger)
  if (one.valueCodeableConcept !== undefined) return named(one.valueCodeableConcept)
  return valueString ?? named(one.dataAbsentReason)
}
