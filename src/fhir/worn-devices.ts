import { type CivilDate, earliestDay, latestDay } from '../domain/calendar.ts'
import { type Side, SIDES } from '../domain/child.ts'
import type { SizeChart } from '../domain/device/sizing.ts'
import type { Recorded } from '../domain/facts.ts'
import { SIZE_SIGNS, STOP_SIGNS, type WornDevice } from '../domain/follow-up/worn-device.ts'
import { type Code, EXCHANGE_CODES, SIDE_CODES } from './codes.ts'
import { ownTarget } from './literal-reference.ts'
import { FOOT_CODES, WORN_SIGN_CODES } from './observed-codes.ts'
import { WEAR_READER } from './observed.ts'
import type { Device, DeviceUseStatement, Resource } from './r4/types.ts'
import { boolean, hasCode } from './reading.ts'
import { dayOf, type RecordEntry, RecordFacts } from './record-facts.ts'

/** What a child wears on a day, and what was recorded of it. */
export interface WornDevices {
  /** Of the device that was delivered last. */
  readonly deliveredOn: CivilDate
  /** Of the device that is worn longest. */
  readonly firstOn: CivilDate
  readonly devices: readonly WornDevice[]
  /** Somebody has put their use on hold. */
  readonly isPaused?: true
  /** A day, lately. */
  readonly wearMinutes: Recorded<number>
}

export interface WornOn {
  readonly asOf: CivilDate
  /** Names the sizes; one that it does not know is unknown. */
  readonly chart: SizeChart
  readonly baseUrl: string
}

/**
 * The devices in use: each a DeviceUseStatement of one foot, active or on hold, from its first day to its last, whose
 * Device is an orthosis of ours and names its size as model number. Of several of one foot the one that
 * was delivered last counts. Undefined when none is in use.
 */
export function wornDevices(record: readonly RecordEntry[], on: WornOn): WornDevices | undefined {
  const uses = usesOf(record, on)
  const current = SIDES.flatMap((side) => uses.findLast((use) => use.side === side) ?? [])
  const days = current.map(({ from }) => from)
  const [firstOn, deliveredOn] = [earliestDay(days), latestDay(days)]
  if (firstOn === undefined || deliveredOn === undefined) return undefined
  const facts = new RecordFacts(record, on.asOf)
  return {
    deliveredOn,
    firstOn,
    devices: current.map(({ side, size, from }) => ({
      side,
      size,
      deliveredOn: from,
      signs: signsOf(facts, side, signOfWorn),
    })),
    ...(current.some(({ isPaused }) => isPaused) && { isPaused: true as const }),
    wearMinutes: facts.one('wearMinutes', WEAR_READER),
  }
}

/**
 * Was a sign seen by which a worn device must come off?
 *
 * @param codesOf what counts as each: of a foot of which nobody knows that it wears a device the names of worn ones alone
 */
export const isStopSign = (
  resource: Resource,
  codesOf: (name: SignName) => readonly Code[] = wornSign,
): boolean =>
  resource.resourceType === 'Observation' &&
  resource.valueBoolean === true &&
  STOP_SIGNS.some((sign) => codesOf(sign).some((code) => hasCode(resource.code, code)))

/** What was recorded of each foot where no device is on record. */
export function seenWithoutDevice(
  record: readonly RecordEntry[],
  { asOf, sides }: { readonly asOf: CivilDate; readonly sides: readonly Side[] },
): readonly WornDevice[] {
  const facts = new RecordFacts(record, asOf)
  return sides.map((side) => ({ side, size: 'unknown', signs: signsOf(facts, side, wornSign) }))
}

interface Use extends Pick<WornDevice, 'side' | 'size'> {
  readonly isPaused: boolean
  readonly from: CivilDate
}

/** Oldest first. */
function usesOf(record: readonly RecordEntry[], { asOf, chart, baseUrl }: WornOn): Use[] {
  const devices = new Map(
    record.flatMap(({ reference, resource }) =>
      resource.resourceType === 'Device' ? [[reference.split('/')[1] ?? '', resource]] : [],
    ),
  )
  return record
    .flatMap(({ resource }): Use[] => {
      if (resource.resourceType !== 'DeviceUseStatement') return []
      const isPaused = resource.status === 'on-hold'
      if (resource.status !== 'active' && !isPaused) return []
      const side = SIDES.find((one) => hasCode(resource.bodySite, SIDE_CODES[one]))
      const { from, to } = daysOfUse(resource)
      const target = ownTarget(resource.device.reference, baseUrl)
      const device = target?.type === 'Device' ? devices.get(target.id) : undefined
      if (side === undefined || from === undefined || !isOrthosis(device)) return []
      if (from > asOf || (to !== undefined && to < asOf)) return []
      const size = chart.sizes.find(({ code }) => code === device.modelNumber)
      return [{ side, from, isPaused, size: size ?? 'unknown' }]
    })
    .toSorted((a, b) => a.from.localeCompare(b.from))
}

const isOrthosis = (device: Device | undefined): device is Device =>
  device !== undefined &&
  device.status !== 'entered-in-error' &&
  hasCode(device.type, EXCHANGE_CODES.orthosis)

const daysOfUse = ({ timingPeriod, timingDateTime }: DeviceUseStatement) => ({
  from: dayOf(timingPeriod?.start ?? timingDateTime),
  to: dayOf(timingPeriod?.end),
})

type SignName = keyof WornDevice['signs']

const wornSign = (name: SignName): readonly Code[] => [WORN_SIGN_CODES[name]]

/** On a foot that wears a device open skin is broken skin, whoever looked and under which name. */
export const signOfWorn = (name: SignName): readonly Code[] =>
  name === 'broken-skin' ? [...wornSign(name), FOOT_CODES.openSkin] : wornSign(name)

function signsOf(
  facts: RecordFacts,
  side: Side,
  codesOf: (name: SignName) => readonly Code[],
): WornDevice['signs'] {
  const row = (name: SignName) => ({ codes: codesOf(name), read: boolean })
  return Object.fromEntries([
    ...STOP_SIGNS.map((name) => [name, facts.harm(row(name), side)]),
    ...SIZE_SIGNS.map((name) => [name, facts.one(`${name}.${side}`, row(name), side)]),
  ]) as WornDevice['signs']
}
