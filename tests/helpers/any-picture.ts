import { integer, option, record } from 'fast-check'
import { addDays, type CivilDate, daysBetween } from '../../src/domain/calendar.ts'
import type { Child } from '../../src/domain/child.ts'
import { ImplausibleRecord } from '../../src/domain/implausible.ts'
import { GENERIC_SIZE_CHART } from '../../src/domain/tables/generic-size-chart.ts'
import { triage } from '../../src/domain/triage.ts'
import { AppError } from '../../src/errors.ts'
import { type PictureFacts, pictureFacts } from '../../src/pictures/picture-facts.ts'
import { anyChild, anyDay } from './any-child.ts'
import { RULES } from './rules.ts'

/** What can be drawn of a child on a day; undefined where the record cannot be true. */
export function factsOf(
  child: Child,
  asOf: CivilDate,
  deliveredOn?: CivilDate,
): PictureFacts | undefined {
  const basis = { rules: RULES, chart: GENERIC_SIZE_CHART }
  try {
    return pictureFacts(triage(child, asOf, basis), basis, deliveredOn)
  } catch (error) {
    if (error instanceof ImplausibleRecord || error instanceof AppError) return undefined
    throw error
  }
}

/** Any child on any day, with or without a device that was delivered before. */
export const anyPictureFacts = record({
  child: anyChild,
  asOf: anyDay,
  delivered: option(integer({ min: 0, max: 400 })),
})
  .map(({ child, asOf, delivered }) => {
    const deliveredOn = delivered === null ? undefined : addDays(asOf, -delivered)
    const isBorn = deliveredOn === undefined || daysBetween(child.birthDate.value, deliveredOn) > 0
    return factsOf(child, asOf, isBorn ? deliveredOn : undefined)
  })
  .filter((facts): facts is PictureFacts => facts !== undefined)
