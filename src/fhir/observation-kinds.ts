import type { Code } from './codes.ts'
import { DIMENSIONS } from '../domain/child.ts'
import { attainment, CHILD_READERS, FOOT_READERS, measurementOf, WEAR_READER } from './observed.ts'
import {
  DIMENSION_CODES,
  MILESTONE_CODES,
  RED_FLAG_CODES,
  SIGN_CODES,
  SKILL_CODES,
  WORN_SIGN_CODES,
} from './observed-codes.ts'
import { PROGRAMME_READERS } from './programme-dates.ts'
import { boolean, type Reader } from './reading.ts'

/**
 * An observation that rules read: its code, whether it is of one foot, and how its value is read. Those of
 * a visit are read when a child is seen with its devices; triage does not know them.
 */
export interface ObservationKind {
  readonly code: Code
  readonly ofFoot: boolean
  readonly read: Reader<unknown>
  readonly ofVisit?: true
}

const kind = (code: Code, ofFoot: boolean, read: Reader<unknown>): ObservationKind => ({
  code,
  ofFoot,
  read,
})

const kinds = (codes: Readonly<Record<string, Code>>, ofFoot: boolean, read: Reader<unknown>) =>
  Object.values(codes).map((code) => kind(code, ofFoot, read))

/** Every observation that rules read, once. */
export const OBSERVATION_KINDS: readonly ObservationKind[] = [
  ...kinds(MILESTONE_CODES, false, attainment),
  ...kinds(SKILL_CODES, false, attainment),
  ...kinds(SIGN_CODES, false, boolean),
  ...kinds(RED_FLAG_CODES, false, boolean),
  ...DIMENSIONS.map((dimension) =>
    kind(DIMENSION_CODES[dimension], true, measurementOf(dimension)),
  ),
  ...Object.values(CHILD_READERS).flatMap(({ codes, read }) =>
    codes.map((code) => kind(code, false, read)),
  ),
  ...Object.values(FOOT_READERS).flatMap(({ codes, read }) =>
    codes.map((code) => kind(code, true, read)),
  ),
  ...Object.values(PROGRAMME_READERS).flatMap(({ codes, read }) =>
    codes.map((code) => kind(code, false, read)),
  ),
  ...kinds(WORN_SIGN_CODES, true, boolean).map((one) => ({ ...one, ofVisit: true as const })),
  ...WEAR_READER.codes.map((code) => ({
    ...kind(code, false, WEAR_READER.read),
    ofVisit: true as const,
  })),
]

const BY_CODE = new Map(OBSERVATION_KINDS.map((entry) => [key(entry.code), entry]))

export const kindOf = (coding: {
  readonly system?: string
  readonly code?: string
}): ObservationKind | undefined => BY_CODE.get(key(coding))

function key({ system, code }: { readonly system?: string; readonly code?: string }): string {
  return `${system ?? ''}|${code ?? ''}`
}
