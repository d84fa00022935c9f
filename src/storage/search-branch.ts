/**
 * One way in which a filter may hold: by a column of the resource itself, or by a row of a narrow index
 * table. The row's name is given when the statement is written.
 */
export type Branch =
  | {
      readonly kind: 'column'
      readonly condition: (resource: string) => string
      /** That it does not hold, where an index leads to that. */
      readonly absence?: (resource: string) => string
    }
  | {
      readonly kind: 'rows'
      readonly table: IndexName
      readonly condition: (row: string) => string
    }

export type IndexName =
  | 'index_tokens'
  | 'index_references'
  | 'index_strings'
  | 'index_uris'
  | 'index_dates'
  | 'index_quantities'
  | 'index_pairs'

export const rows = (table: IndexName, condition: (row: string) => string): Branch => ({
  kind: 'rows',
  table,
  condition,
})
export const column = (condition: (resource: string) => string): Branch => ({
  kind: 'column',
  condition,
})
/** There is a value. */
export const filled = (name: string): Branch => ({
  kind: 'column',
  condition: (resource) => `${resource}.${name} is not null`,
  absence: (resource) => `${resource}.${name} is null`,
})
