/** One element of a profile of ours: what it must be beyond R4. */
export interface ProfileElement {
  /** Below the resource, `code`. */
  readonly path: string
  readonly min?: number
  readonly max?: '1' | '0'
  /** Of a choice, the one type that is taken. */
  readonly type?: string
  /** What it is for, and what is refused. */
  readonly short: string
  readonly fixedCode?: string
  readonly pattern?: { readonly system: string; readonly code: string }
  /** A value set that its code is of. */
  readonly binding?: string
  /** The rule that refuses what is not so, as an OperationOutcome names it. */
  readonly rule?: string
}

export interface Profile {
  readonly id: string
  readonly type: string
  readonly title: string
  readonly description: string
  /** Does it hold of whatever is taken of its type? */
  readonly isOfAll?: true
  readonly elements: readonly ProfileElement[]
}
