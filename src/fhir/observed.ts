import {
  ASHWORTH_GRADES,
  type AshworthGrade,
  type Child,
  type Dimension,
  type Foot,
  type FpiItems,
  type Measurement,
  type MilestoneCheck,
} from '../domain/child.ts'
import { civilDate } from '../domain/calendar.ts'
import type { Fact } from '../domain/facts.ts'
import { type Degrees, degrees, type Millimetres, millimetres } from '../domain/units.ts'
import { ashworthCode, type Code, GESTATION_CODES, METHOD_CODES, VALUE_CODES } from './codes.ts'
import { shoeSize, standardisedResult } from './observed-results.ts'
import { CHILD_CODES, FOOT_CODES, FPI_ITEM_CODES, WEAR_CODE } from './observed-codes.ts'
import type { Observation } from './r4/types.ts'
import {
  boolean,
  coded,
  componentOf,
  hasCode,
  integer,
  type Limits,
  mapped,
  misread,
  quantity,
  read,
  type Reader,
  type Reading,
} from './reading.ts'

export type ValueOf<R> = Exclude<R, 'unknown'> extends Fact<infer V> ? V : never

/** How each fact of a record is read from its observation. Ranges are plausibility, wide on purpose. */
type Readers<T, K extends keyof T> = {
  readonly [P in K]: { readonly codes: readonly Code[]; readonly read: Reader<ValueOf<T[P]>> }
}

const row = <T>(code: Code, reader: Reader<T>) => ({ codes: [code], read: reader })

const ANGLE: Limits = { min: -90, max: 90 }
const angle: Reader<Degrees> = mapped(quantity(['degrees'], ANGLE), degrees)
const length = (limits: Limits): Reader<Millimetres> =>
  mapped(quantity(['millimetres', 'centimetres'], limits), millimetres)

const ASHWORTH = Object.fromEntries(
  ASHWORTH_GRADES.map((grade) => [grade, ashworthCode(grade)]),
) as Record<AshworthGrade, Code>

export const FOOT_READERS: Readers<Foot, Exclude<keyof Foot, 'measurements'>> = {
  fpi: row(FOOT_CODES.fpi, fpiItems),
  heelEversion: row(FOOT_CODES.heelEversion, angle),
  navicularDrop: row(FOOT_CODES.navicularDrop, length({ min: 0, max: 60 })),
  staheliIndex: row(FOOT_CODES.staheliIndex, quantity(['ratio'], { min: 0, max: 3 })),
  chippauxSmirakPercent: row(
    FOOT_CODES.chippauxSmirakPercent,
    quantity(['percent'], { min: 0, max: 150 }),
  ),
  archSeenUnloaded: row(FOOT_CODES.archSeenUnloaded, boolean),
  tiptoeArchAndHeelInversion: row(FOOT_CODES.tiptoeArchAndHeelInversion, boolean),
  greatToeExtensionRaisesArch: row(FOOT_CODES.greatToeExtensionRaisesArch, boolean),
  ankleDorsiflexion: row(FOOT_CODES.ankleDorsiflexion, angle),
  ankleDorsiflexionKneeBent: row(FOOT_CODES.ankleDorsiflexionKneeBent, angle),
  openSkin: row(FOOT_CODES.openSkin, boolean),
  insensate: row(FOOT_CODES.insensate, boolean),
  ashworthCalf: row(FOOT_CODES.ashworthCalf, coded(ASHWORTH)),
  rockerBottomOrStiffHindfoot: row(FOOT_CODES.rockerBottomOrStiffHindfoot, boolean),
  kneeAngle: row(FOOT_CODES.kneeAngle, angle),
}

const TONES = { low: VALUE_CODES.low, normal: VALUE_CODES.normal, raised: VALUE_CODES.raised }

export const CHILD_READERS: Readers<
  Child,
  'tone' | 'beighton' | 'medicalReview' | 'shoeSize' | 'standardised' | 'gestationDays'
> = {
  tone: row(CHILD_CODES.tone, coded(TONES)),
  beighton: row(CHILD_CODES.beighton, integer({ min: 0, max: 9 })),
  medicalReview: row(CHILD_CODES.medicalReview, boolean),
  shoeSize: row(CHILD_CODES.shoeSize, shoeSize),
  standardised: row(CHILD_CODES.standardised, standardisedResult),
  // Wide: that 22 to 44 weeks are plausible is a rule of the domain, which names the element.
  gestationDays: {
    codes: GESTATION_CODES,
    read: quantity(['days', 'weeks'], { min: 1, max: 400 }),
  },
}

/** Minutes a day. */
export const WEAR_READER = row(WEAR_CODE, quantity(['minutes', 'hours'], { min: 0, max: 1440 }))

/**
 * What a foot of a child up to school age can measure, mm; wide on purpose (judgement). Outside it the
 * unit is wrong: centimetres written as millimetres, or the other way round.
 */
const POSSIBLE: Readonly<Record<Dimension, Limits>> = {
  'foot-length': { min: 50, max: 300 },
  'forefoot-breadth': { min: 20, max: 130 },
  'heel-to-first-metatarsal-head': { min: 30, max: 230 },
  'heel-to-fifth-toe-sulcus': { min: 30, max: 270 },
  'malleolar-breadth': { min: 15, max: 100 },
  'ankle-circumference': { min: 50, max: 350 },
  'instep-girth': { min: 50, max: 350 },
}

/** A dimension of a foot; the method says whether the child stood on it. */
export const measurementOf =
  (dimension: Dimension): Reader<Measurement> =>
  (observation) => {
    const reading = length(POSSIBLE[dimension])(observation)
    if (reading.ok) return read({ mm: reading.value, loading: loadingOf(observation) })
    return reading.at === 'valueQuantity.value'
      ? misread(reading.at, `${reading.text}: are centimetres and millimetres mixed up?`)
      : reading
  }

function loadingOf({ method }: Observation): Measurement['loading'] {
  if (hasCode(method, METHOD_CODES.loaded)) return 'loaded'
  return hasCode(method, METHOD_CODES.unloaded) ? 'unloaded' : 'unknown'
}

/** Does it, or does not do it yet; a caregiver's word is marked by the method. */
export const attainment: Reader<Omit<MilestoneCheck, 'milestone'>> = (observation) => {
  const attained = boolean(observation)
  if (!attained.ok) return attained
  const on = componentOf(observation, CHILD_CODES.attainedOn)?.valueDateTime
  if (on !== undefined && !/^\d{4}-\d{2}-\d{2}/.test(on))
    return misread('component.valueDateTime', 'a date with year, month and day is needed')
  const caregiver = hasCode(observation.method, METHOD_CODES.caregiver)
  return read({
    attained: attained.value,
    reportedBy: caregiver ? 'caregiver' : 'professional',
    ...(on === undefined ? {} : { attainedOn: civilDate(on.slice(0, 10)) }),
  })
}

const FPI_ITEMS = [1, 2, 3, 4, 5, 6] as const
/** Of each item (Redmond, Crosbie, Ouvrier 2006). */
export const FPI_SCORE: Limits = { min: -2, max: 2 }

function fpiItems(observation: Observation): Reading<FpiItems> {
  const items: Partial<Record<(typeof FPI_ITEMS)[number], number>> = {}
  for (const component of observation.component ?? []) {
    const item = FPI_ITEMS.find((one) => hasCode(component.code, FPI_ITEM_CODES[one]))
    if (item === undefined) return misread('component.code', 'one of fpi-item-1 to 6 is needed')
    if (component.dataAbsentReason !== undefined) continue
    const { valueInteger: score } = component
    if (score === undefined || !(score >= FPI_SCORE.min && score <= FPI_SCORE.max))
      return misread('component.valueInteger', 'each item is scored from -2 to 2')
    if (items[item] !== undefined) return misread('component', 'each item is scored once')
    items[item] = score
  }
  return Object.keys(items).length === 0
    ? misread('component', 'at least one scored item is needed, as valueInteger')
    : read(items)
}
