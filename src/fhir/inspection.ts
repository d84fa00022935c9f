import type { Fault } from '../errors.ts'
import { pathText } from './path-text.ts'

/** Faults reported of one resource; a body with more has a problem that more would not explain. */
export const MAX_FAULTS = 100

export type JsonObject = Readonly<Record<string, unknown>>

export function isJsonObject(value: unknown): value is JsonObject {
  return typeof value === 'object' && value !== null && !Array.isArray(value)
}

/** What a check says about a place: which rule, of which issue type, and what would be right. */
export interface Complaint {
  readonly rule: string
  readonly code: string
  readonly text: string
  /** Step below the current place, where the fault is not at the place itself. */
  readonly below?: string
}

/** One validation under way: where it is in the resource, and what it has found. */
export class Inspection {
  readonly faults: Fault[] = []
  readonly path: (string | number)[] = []
  /** The resource around the current place that contained resources and `#` references belong to. */
  container: Container | undefined
  private readonly root: string

  constructor(root: string) {
    this.root = root
  }

  get full(): boolean {
    return this.faults.length > MAX_FAULTS
  }

  report({ rule, code, text, below }: Complaint): void {
    if (this.full) return
    if (this.faults.length === MAX_FAULTS) {
      this.add({ rule: 'too-many', code: 'structure', text: 'There are more faults than listed' })
      return
    }
    this.add({ rule, code, text, ...(below === undefined ? {} : { below }) })
  }

  private add({ rule, code, text, below }: Complaint): void {
    const steps = below === undefined ? this.path : [...this.path, below]
    const expression = pathText(steps, this.root)
    this.faults.push({ severity: 'error', code, expression, rule, text })
  }
}

/** A resource that may contain others, and the local references met inside it. */
export interface Container {
  readonly type: string
  readonly contained: readonly unknown[]
  /** Texts of local references met so far, such as `#dev1`. */
  readonly used: Set<string>
  /** Positions of contained resources that refer back to the container with `#`. */
  readonly referringBack: Set<number>
  /** Position of the contained resource the inspection is in. */
  inside: number | undefined
}
