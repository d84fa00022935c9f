import type { Atom } from './r4/search-line.ts'
import type { TypedColumns } from './search-params.ts'
import type { SearchValues } from './search-index.ts'

/** The rows of a resource at their places, those with columns of their own among them. */
export function placedRows(values: SearchValues, columns: TypedColumns): SearchValues {
  const { patientId, code, status, date } = values
  return {
    ...values,
    tokens: [
      ...values.tokens,
      ...(code === undefined || columns.code === undefined
        ? []
        : [{ path: columns.code, ...code }]),
      ...(status === undefined || columns.status === undefined
        ? []
        : [{ path: columns.status, system: '', code: status }]),
    ],
    references: [
      ...values.references,
      ...(patientId === undefined || columns.patient === undefined
        ? []
        : [{ path: columns.patient, targetType: 'Patient', targetId: patientId }]),
    ],
    // Of a choice it does not matter which one it was: a parameter reads all of it.
    dates: [
      ...values.dates,
      ...(date === undefined
        ? []
        : columns.date.map((path) => ({ path, start: date.from, end: date.to }))),
    ],
  }
}

interface Row {
  readonly path: string
}

/** The rows at the places of atoms, with the suffix of a modifier when there is one. */
export function rowsAt<Of extends Row>(
  rows: readonly Of[],
  atoms: readonly Atom[],
  suffixed: (path: string) => string = (path) => path,
): Of[] {
  const paths = new Set(atoms.map(({ path }) => suffixed(path)))
  return rows.filter(({ path }) => paths.has(path))
}
