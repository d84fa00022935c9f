declare const unit: unique symbol
type Unit<Name extends string> = number & { readonly [unit]: Name }

/** Months of 30.4375 days, the month of the WHO growth and motor references. */
export type Months = Unit<'months'>
export type Millimetres = Unit<'mm'>
/** Angles; the positive direction is named where the value is defined. */
export type Degrees = Unit<'degrees'>
export type Days = Unit<'days'>

export const DAYS_PER_MONTH = 30.4375

/** From before the due date of a child born at 22 weeks up to the age equivalent of a fast adolescent. */
export const months = (value: number): Months => within(value, -5, 600, 'months') as Months
export const millimetres = (value: number): Millimetres =>
  within(value, 0, 1000, 'millimetres') as Millimetres
export const degrees = (value: number): Degrees => within(value, -180, 180, 'degrees') as Degrees
export const days = (value: number): Days => within(value, -366, 7320, 'days') as Days

export const monthsOfDays = (value: number): Months => months(value / DAYS_PER_MONTH)

const MONTHS_PER_YEAR = 12

/** Years, not rounded, for figures published by years of age. */
export const yearsOf = (value: Months): number => value / MONTHS_PER_YEAR

/** Written as "inside" rather than "outside", so NaN is refused too. */
function within(value: number, min: number, max: number, name: string): number {
  if (value >= min && value <= max) return value
  throw new RangeError(`${name} must be from ${min} to ${max}, not ${value}`)
}
