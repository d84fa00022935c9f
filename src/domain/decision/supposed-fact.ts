import type { CivilDate } from '../calendar.ts'
import type {
  Child,
  Diagnosis,
  Foot,
  RedFlagSign,
  Side,
  Sign,
  StandardisedResult,
  Tone,
} from '../child.ts'
import { evidenceRef, type Fact, type Recorded } from '../facts.ts'

type ValueOf<R> = R extends Fact<infer T> ? T : never
type FootFact = { [K in keyof Foot]: Foot[K] extends Recorded<unknown> ? K : never }[keyof Foot]

/** What the record would hold instead: a fact by its name, as in MissingFact, and its value. */
export interface SupposedFact {
  readonly fact: string
  readonly value: Tone | StandardisedResult | ValueOf<Foot[FootFact]>
}

/** A supposed fact, and the record of a child with it in place; the fact is of that day. */
export interface Supposed extends SupposedFact {
  readonly put: (child: Child, on: CivilDate) => Child
}

/** No record stands behind it; the reference is never shown. */
const known = <T>(value: T, on: CivilDate): Fact<T> => ({
  value,
  on,
  evidence: evidenceRef('supposed'),
})

export const supposedTone = (value: Tone): Supposed => ({
  fact: 'tone',
  value,
  put: (child, on) => ({ ...child, tone: known(value, on) }),
})

/** Gestational age at birth in days. */
export const supposedGestation = (value: number): Supposed => ({
  fact: 'gestationDays',
  value,
  put: (child, on) => ({ ...child, gestationDays: known(value, on) }),
})

/** Standard deviations from the mean of the test; negative is below. */
export function supposedZ(z: number): Supposed {
  const value = { kind: 'z-score', z } as const
  const put: Supposed['put'] = (child, on) => ({ ...child, standardised: known(value, on) })
  return { fact: 'standardised', value, put }
}

export const supposedReview = (value: boolean): Supposed => ({
  fact: 'medicalReview',
  value,
  put: (child, on) => ({ ...child, medicalReview: known(value, on) }),
})

export const supposedSign = (sign: Sign, value: boolean): Supposed => ({
  fact: `signs.${sign}`,
  value,
  put: (child, on) => ({ ...child, signs: { ...child.signs, [sign]: known(value, on) } }),
})

export const supposedRedFlag = (sign: RedFlagSign, value: boolean): Supposed => ({
  fact: `redFlags.${sign}`,
  value,
  put: (child, on) => ({ ...child, redFlags: { ...child.redFlags, [sign]: known(value, on) } }),
})

/** The condition is not coded after all. */
export const supposedUncoded = (diagnosis: Diagnosis): Supposed => ({
  fact: `diagnoses.${diagnosis}`,
  value: false,
  put: (child) => {
    const { [diagnosis]: _, ...diagnoses } = child.diagnoses
    return { ...child, diagnoses }
  },
})

export const supposedOfFoot = <K extends FootFact>(
  side: Side,
  name: K,
  value: ValueOf<Foot[K]>,
): Supposed => ({
  fact: `${name}.${side}`,
  value,
  put: (child, on) => ({
    ...child,
    feet: { ...child.feet, [side]: { ...child.feet[side], [name]: known(value, on) } },
  }),
})

/** A skill seen or not: the finding is supposed, the record of looks and the pace stay as they are. */
export const supposedSkill = (fact: string, value: boolean): Supposed => ({
  fact,
  value,
  put: (child) => child,
})
