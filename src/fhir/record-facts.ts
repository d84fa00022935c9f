import { type CivilDate, civilDate } from '../domain/calendar.ts'
import type { Side } from '../domain/child.ts'
import {
  type Contradiction,
  evidenceRef,
  type Fact,
  latest,
  type Recorded,
} from '../domain/facts.ts'
import { type Code, SIDE_CODES } from './codes.ts'
import type { Observation, Resource } from './r4/types.ts'
import { hasCode, type Reader } from './reading.ts'

/** One version of one resource of a child's record. */
export interface RecordEntry {
  /** `Observation/1/_history/2`. */
  readonly reference: string
  readonly resource: Resource
}

/** Which codes an observation of a fact carries, and how its value is read. */
export interface ReaderRow<T> {
  readonly codes: readonly Code[]
  readonly read: Reader<T>
}

interface Observed {
  readonly reference: string
  readonly observation: Observation
  readonly on: CivilDate
}

/** The calendar day of a dateTime, as the sender wrote it; undefined when it is less precise. */
export function dayOf(dateTime: string | undefined): CivilDate | undefined {
  const day = dateTime?.slice(0, 10)
  return day?.length === 10 ? civilDate(day) : undefined
}

/** Reads facts from observations and gathers what contradicts itself. */
export class RecordFacts {
  readonly contradictions: Contradiction[] = []
  readonly #observed: readonly Observed[]
  readonly #byCode = new Map<string, Observed[]>()

  /** @param asOf what was observed after this day is not seen */
  constructor(record: readonly RecordEntry[], asOf: CivilDate) {
    this.#observed = observationsOf(record).filter(({ on }) => on <= asOf)
    for (const one of this.#observed)
      for (const key of new Set(one.observation.code.coding?.map(keyOf))) this.#kept(key).push(one)
  }

  /** Every record of a fact, oldest first; of one foot when a side is given. */
  all<T>(row: ReaderRow<T>, side?: Side): Fact<T>[] {
    return this.#coded(row.codes).flatMap(({ observation, on, reference }) => {
      if (side !== undefined && !hasCode(observation.bodySite, SIDE_CODES[side])) return []
      const reading = row.read(observation)
      return reading.ok ? [{ value: reading.value, on, evidence: evidenceRef(reference) }] : []
    })
  }

  /**
   * The last record of a sign of harm. Judgement: of one day the last look counts where every look has its hour; else
   * that it was seen, since nobody knows that it was gone.
   */
  harm(row: ReaderRow<boolean>, side: Side): Recorded<boolean> {
    const all = this.#coded(row.codes).flatMap(({ observation, on, reference }) => {
      const reading = row.read(observation)
      if (!hasCode(observation.bodySite, SIDE_CODES[side]) || !reading.ok) return []
      const at =
        observation.effectiveDateTime?.includes('T') === true
          ? Date.parse(observation.effectiveDateTime)
          : undefined
      return [{ value: reading.value, on, evidence: evidenceRef(reference), at }]
    })
    const ofDay = all.filter(({ on }) => on === all.at(-1)?.on)
    const lastAt = Math.max(...ofDay.map(({ at = Number.NaN }) => at))
    const looks = Number.isNaN(lastAt) ? ofDay : ofDay.filter(({ at }) => at === lastAt)
    const found = looks.find(({ value }) => value) ?? looks[0]
    if (found === undefined) return 'unknown'
    const { value, on, evidence } = found
    return { value, on, evidence }
  }

  #kept(key: string): Observed[] {
    const kept = this.#byCode.get(key) ?? []
    this.#byCode.set(key, kept)
    return kept
  }

  #coded(codes: readonly Code[]): readonly Observed[] {
    const [first, ...more] = codes
    return first !== undefined && more.length === 0
      ? (this.#byCode.get(keyOf(first)) ?? [])
      : this.#observed.filter(({ observation }) =>
          codes.some((code) => hasCode(observation.code, code)),
        )
  }

  /** The latest record of a fact. */
  one<T>(name: string, row: ReaderRow<T>, side?: Side): Recorded<T> {
    const { fact, contradiction } = latest(name, this.all(row, side))
    if (contradiction !== undefined) this.contradictions.push(contradiction)
    return fact
  }
}

function observationsOf(record: readonly RecordEntry[]): Observed[] {
  return record
    .flatMap(({ reference, resource }) => {
      if (resource.resourceType !== 'Observation' || !counts(resource)) return []
      const on = dayOf(resource.effectiveDateTime)
      return on === undefined ? [] : [{ reference, observation: resource, on }]
    })
    .toSorted((a, b) => a.on.localeCompare(b.on) || a.reference.localeCompare(b.reference))
}

const keyOf = ({ system, code }: { readonly system?: string; readonly code?: string }): string =>
  `${system ?? ''} ${code ?? ''}`

const counts = ({ status, dataAbsentReason }: Observation): boolean =>
  !['entered-in-error', 'cancelled', 'unknown'].includes(status) && dataAbsentReason === undefined
