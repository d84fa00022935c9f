/** Collects values while a statement is written; text of a caller only ever becomes a parameter. */
export class SearchStatement {
  readonly values: unknown[] = []
  /** A partner sees its own compartment; said beside the policy, it leads to an index. */
  readonly partnerId: string | undefined
  private aliases = 0
  private readonly known = new Map<string, string>()

  constructor({ partnerId }: { readonly partnerId?: string | undefined } = {}) {
    this.partnerId = partnerId
  }

  /** One parameter however often the same value is asked for; with its type, which nothing else then decides. */
  value(
    value: string | number,
    type: 'text' | 'uuid' | 'timestamptz' | 'numeric' | 'double precision' | 'int' = 'text',
  ): string {
    const key = `${type} ${value}`
    const known = this.known.get(key)
    if (known !== undefined) return known
    const made = `$${this.values.push(value)}::${type}`
    this.known.set(key, made)
    return made
  }

  list(values: readonly string[]): string {
    return `$${this.values.push([...values])}::text[]`
  }

  /** A name for a table that is read once more. */
  alias(prefix: string): string {
    this.aliases += 1
    return `${prefix}${this.aliases}`
  }

  /** `= $1`, or `= any($1)` of several. */
  equals(column: string, values: readonly string[]): string {
    const [only] = values
    return values.length === 1 && only !== undefined
      ? `${column} = ${this.value(only)}`
      : `${column} = any(${this.list(values)})`
  }
}

/** Of no alternatives at all, nothing matches. */
export const anyOf = (conditions: readonly string[]): string =>
  conditions.length === 0 ? 'false' : `(${conditions.join(' or ')})`

/** Of no conditions at all, everything matches. */
export const allOf = (conditions: readonly string[]): string =>
  conditions.length === 0 ? 'true' : `(${conditions.join(' and ')})`
