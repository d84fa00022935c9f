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
  /** Nothing at the current place was looked at, whatever the fault is about. */
  readonly unread?: true
}

/** An element below an object, by its name in JSON and as it stands in an expression. */
export interface Named {
  readonly name: string
  readonly step: string
  /** Is its value an object or a list of objects? */
  readonly complex: boolean
  /** Of a nested part, its path in the definitions: `Questionnaire.item` also of an item below an item. */
  readonly part: string | undefined
  /** The names of all types of the choice it belongs to. */
  readonly group: readonly string[] | undefined
}

export type Step = string | number | Named

/** One validation under way: where it is in the resource, and what it has found. */
export class Inspection {
  readonly faults: Fault[] = []
  /** Where a value is not what it should be: no invariant that depends on it can be judged. */
  readonly doubtful: (readonly Step[])[] = []
  readonly path: Step[] = []
  /** The resource around the current place that contained resources and `#` references belong to. */
  container: Container | undefined
  private readonly root: string

  constructor(root: string) {
    this.root = root
  }

  get full(): boolean {
    return this.faults.length > MAX_FAULTS
  }

  report(complaint: Complaint): void {
    if (this.full) return
    if (this.faults.length === MAX_FAULTS) {
      this.add({ rule: 'too-many', code: 'structure', text: 'There are more faults than listed' })
      return
    }
    this.add(complaint)
  }

  private add({ rule, code, text, below, unread }: Complaint): void {
    const steps = below === undefined ? [...this.path] : [...this.path, below]
    const expression = pathText(steps.map(stepText), this.root)
    this.faults.push({ severity: 'error', code, expression, rule, text })
    // An invariant is about values of the right form, so it leaves them as certain as they were.
    if (code !== 'invariant') this.doubtful.push(unread === true ? [...this.path] : steps)
  }
}

const stepText = (step: Step): string | number => (typeof step === 'object' ? step.step : step)

/** A resource that may contain others, and the local references met inside it. */
export interface Container {
  readonly type: string
  /** Steps that lead to it. */
  readonly depth: number
  readonly contained: readonly unknown[]
  /** Is it unknown of some of them by which reference they would be found? */
  readonly unreadable: boolean
  /** Texts of local references met so far, such as `#dev1`. */
  readonly used: Set<string>
  /** Positions of contained resources that refer back to the container with `#`. */
  readonly referringBack: Set<number>
  /** Position of the contained resource the inspection is in. */
  inside: number | undefined
}
