/** What tells one child from another, as one record of it says; names in lower case, without accents. */
export interface Traits {
  readonly identifiers: readonly { readonly system: string; readonly value: string }[]
  /** The first given name of each name that it goes by. */
  readonly given: readonly string[]
  readonly family: readonly string[]
  /** As much of it as is known; undefined when nothing is. */
  readonly birthDate: BirthDate | undefined
  /** Undefined when unknown. */
  readonly sex: string | undefined
  readonly postalCodes: readonly string[]
  /** Numbers and addresses, without what only separates their digits. */
  readonly telecoms: readonly string[]
  /** First, second … of twins or more; undefined when not known. */
  readonly birthOrder: number | undefined
}

export interface BirthDate {
  readonly year: number
  /** 1 to 12 */
  readonly month?: number
  /** 1 to 31 */
  readonly day?: number
}
