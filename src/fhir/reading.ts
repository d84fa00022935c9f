import { decimal, isDecimal, numberOf } from './decimal.ts'
import { type Code, SYSTEMS, UNITS, type UnitName } from './codes.ts'
import type { CodeableConcept, Observation, ObservationComponent, Quantity } from './r4/types.ts'

/** What an element says, or what is wrong with it: where, below the observation, and what would be right. */
export type Reading<T> =
  | { readonly ok: true; readonly value: T }
  | { readonly ok: false; readonly at: string; readonly text: string }

export type Reader<T> = (observation: Observation) => Reading<T>

/** An observation or one of its components. */
type Valued = Observation | ObservationComponent

export const read = <T>(value: T): Reading<T> => ({ ok: true, value })
export const misread = (at: string, text: string): Reading<never> => ({ ok: false, at, text })

export const mapped =
  <A, B>(reader: Reader<A>, map: (value: A) => B): Reader<B> =>
  (observation) => {
    const reading = reader(observation)
    return reading.ok ? read(map(reading.value)) : reading
  }

export const boolean: Reader<boolean> = ({ valueBoolean }) =>
  valueBoolean === undefined
    ? misread('valueBoolean', 'true or false is needed')
    : read(valueBoolean)

export interface Limits {
  readonly min: number
  readonly max: number
}

export const integer =
  ({ min, max }: Limits): Reader<number> =>
  ({ valueInteger: value }) =>
    value !== undefined && value >= min && value <= max
      ? read(value)
      : misread('valueInteger', `a whole number from ${min} to ${max} is needed`)

/** A quantity in one of the UCUM units; the first is the one the value is converted to. */
export const quantity =
  (units: readonly UnitName[], limits: Limits): Reader<number> =>
  (observation) =>
    quantityOf(observation, units, limits)

export function quantityOf(
  { valueQuantity }: Valued,
  units: readonly UnitName[],
  { min, max }: Limits,
): Reading<number> {
  const codes = units.map((unit) => UNITS[unit].code)
  if (valueQuantity === undefined)
    return misread('valueQuantity', `a quantity in ${codes.join(' or ')} is needed`)
  if (valueQuantity.system !== SYSTEMS.ucum)
    return misread('valueQuantity.system', `the unit must be coded in ${SYSTEMS.ucum}`)
  const unit = units.find((name) => UNITS[name].code === valueQuantity.code)
  if (unit === undefined)
    return misread('valueQuantity.code', `the unit must be ${codes.join(' or ')}`)
  if (valueQuantity.comparator !== undefined)
    return misread('valueQuantity.comparator', 'a plain value without comparator is needed')
  const value = converted(valueQuantity, unit, units[0])
  return value !== undefined && value >= min && value <= max
    ? read(value)
    : misread('valueQuantity.value', `a value from ${min} to ${max} ${codes[0] ?? ''} is needed`)
}

/** Units that mean the same quantity, as multiples of the first. */
const FACTORS: Readonly<Record<string, number>> = {
  'centimetres>millimetres': 10,
  'weeks>days': 7,
  'hours>minutes': 60,
}

function converted(
  { value }: Quantity,
  from: UnitName,
  to: UnitName | undefined,
): number | undefined {
  if (value === undefined || !isDecimal(value)) return undefined
  return from === to ? numberOf(value) : numberOf(value) * (FACTORS[`${from}>${to}`] ?? Number.NaN)
}

/** One of a closed list of coded values. */
export const coded =
  <T extends string>(values: Readonly<Record<T, Code>>): Reader<T> =>
  (observation) =>
    codedOf(observation, values)

export function codedOf<T extends string>(
  { valueCodeableConcept }: Valued,
  values: Readonly<Record<T, Code>>,
): Reading<T> {
  const names = Object.keys(values) as T[]
  const name = names.find((candidate) => hasCode(valueCodeableConcept, values[candidate]))
  const wanted = names.map((candidate) => values[candidate].code).join(', ')
  return name === undefined
    ? misread('valueCodeableConcept', `one of ${wanted} of ${SYSTEMS.value} is needed`)
    : read(name)
}

export const hasCode = (
  concept: CodeableConcept | undefined,
  { system, code }: { readonly system: string; readonly code: string },
): boolean =>
  concept?.coding?.some((coding) => coding.system === system && coding.code === code) ?? false

export const componentOf = (
  observation: Observation,
  code: Code,
): ObservationComponent | undefined =>
  observation.component?.find((component) => hasCode(component.code, code))

/** A number as FHIR writes it, without the noise of binary fractions. */
export const rounded = (value: number, digits: number) =>
  decimal(String(Number(value.toFixed(digits))))
