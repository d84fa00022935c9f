import { integer, option, record } from 'fast-check'
import { addDays, type CivilDate, daysBetween } from '../../src/domain/calendar.ts'
import type { Child } from '../../src/domain/child.ts'
import type { SizeChart } from '../../src/domain/device/sizing.ts'
import type { FitCheckResult } from '../../src/domain/follow-up/fit-check-result.ts'
import { followUp } from '../../src/domain/follow-up/follow-up.ts'
import { ImplausibleRecord } from '../../src/domain/implausible.ts'
import { GENERIC_SIZE_CHART } from '../../src/domain/tables/generic-size-chart.ts'
import { type Triage, triage } from '../../src/domain/triage.ts'
import type { RuleSet } from '../../src/domain/rules/rule-set.ts'
import { AppError } from '../../src/errors.ts'
import type { WornDevices } from '../../src/fhir/worn-devices.ts'
import { type PictureFacts, pictureFacts } from '../../src/pictures/picture-facts.ts'
import { anyChild, anyDay } from './any-child.ts'
import { RULES } from './rules.ts'

const NOTHING_LOOKED_AT = { devices: [], wearMinutes: 'unknown' } as const

/** What can be drawn of a child that was assessed, with how it goes with the devices that it wears. */
export const factsOfDay = (
  found: Triage,
  basis: { readonly rules: RuleSet; readonly chart: SizeChart },
  worn: Omit<WornDevices, 'firstOn'> | undefined,
  fitCheck: FitCheckResult | 'unknown' = 'unknown',
): PictureFacts =>
  pictureFacts(
    found,
    basis,
    worn && { ...worn, found: followUp({ ...found, ...worn, fitCheck }, basis) },
  )

/** What can be drawn of a child on a day; undefined where the record cannot be true. */
export function factsOf(
  child: Child,
  asOf: CivilDate,
  deliveredOn?: CivilDate,
): PictureFacts | undefined {
  const basis = { rules: RULES, chart: GENERIC_SIZE_CHART }
  try {
    const worn = deliveredOn === undefined ? undefined : { ...NOTHING_LOOKED_AT, deliveredOn }
    return factsOfDay(triage(child, asOf, basis), basis, worn)
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
