import type { Side } from './child.ts'
import type { Finding, Truth } from './truth.ts'

export const PLANES = ['coronal', 'sagittal', 'transverse'] as const
export type Plane = (typeof PLANES)[number]

export interface PlanePosture {
  readonly plane: Plane
  /** `excessive-pronation.<plane>`: met, not met, unknown. */
  readonly finding: Finding
  /** At its pronated end. */
  readonly marked: Truth
  /** The measure that decided, for instance `fpi-item-3` or `resting-heel-eversion`. */
  readonly measure?: string
}

export interface FpiSum {
  /** Present only when all six items are there. */
  readonly sum?: number
  readonly low: number
  readonly high: number
  readonly band?: 'highly-supinated' | 'supinated' | 'normal' | 'pronated' | 'highly-pronated'
  /** (sum - 4) / 3, from 3 years only. */
  readonly z?: number
  readonly note: string
}

export interface FootPosture {
  readonly side: Side
  readonly planes: readonly PlanePosture[]
  /** `excessive-pronation.<side>`: all three planes met in standing. */
  readonly excessivePronation: Finding
  readonly fpi?: FpiSum
  /** `flexible-foot.<side>`. */
  readonly flexible: Finding
  /** `tight-calf.<side>`: under the flag. */
  readonly tightCalf: Finding
  /** `fixed-calf.<side>`: cannot reach neutral. */
  readonly fixedCalf: Finding
  /** Sentences worth saying: the age rule of thumb, one plane alone, a description only. */
  readonly remarks: readonly string[]
}

export interface Posture {
  readonly left: FootPosture
  readonly right: FootPosture
  readonly sideDifference?: {
    readonly points: number
    readonly band: 'usual' | 'asymmetry' | 'severe'
    readonly note: string
  }
}
