/** What JSON Schema says of one value of a parameter. */
export interface ValueForm {
  readonly type: 'string' | 'integer' | 'boolean'
  readonly format?: 'date' | 'date-time' | 'uuid'
  readonly enum?: readonly string[]
  readonly pattern?: string
  readonly minimum?: number
  readonly default?: string | number
}

/** A parameter that may stand in an address. What reads it takes its name from here, and so does what describes it. */
export interface AskedParameter {
  readonly name: string
  readonly description: string
  readonly value: ValueForm
  readonly required?: true
  /**
   * It takes several values: each by a parameter of its own, in one, separated by commas, or each under another
   * name, for which the one here stands.
   */
  readonly several?: 'repeated' | 'commas' | 'named'
}

export const namesOf = (parameters: readonly AskedParameter[]): readonly string[] =>
  parameters.map(({ name }) => name)

export const TEXT = { type: 'string' } as const
export const DAY = { type: 'string', format: 'date' } as const
export const INSTANT = { type: 'string', format: 'date-time' } as const
export const YES_OR_NO = { type: 'boolean' } as const

/** How the answer is written; every search and every operation takes them. */
export const ANSWER_FORM = [
  {
    name: '_format',
    description:
      'The media type of the answer, before the header Accept: json, application/fhir+json, application/json or text/json. XML and Turtle are refused.',
    value: TEXT,
  },
  {
    name: '_pretty',
    description: 'true: the JSON of the answer is laid out for people.',
    value: YES_OR_NO,
  },
] as const satisfies readonly AskedParameter[]

/** Where the page before ended; whoever pages takes it from the link `next`. */
export const CURSOR: AskedParameter = {
  name: '_cursor',
  description: 'Where the page before ended, as it stands in its link next. Nobody else makes one.',
  value: TEXT,
}
