import { paramOf } from './query-parameters.ts'
import { REGISTRY } from './registry.ts'
import type { ResourceTypeRow } from './registry-row.ts'
import type { Filter } from './search-filter.ts'
import { compartmentParamsOf } from './search-params.ts'

/** The types that may be in the compartment of a Patient, the Patient itself included. */
export const COMPARTMENT_ROWS: readonly ResourceTypeRow[] = REGISTRY.filter(
  ({ type, published }) => published !== true && compartmentParamsOf(type).length > 0,
)

/** Holds for what is in the compartment of a Patient; undefined for a type that is in none. */
export function compartmentFilter(row: ResourceTypeRow, patientId: string): Filter | undefined {
  if (!COMPARTMENT_ROWS.includes(row)) return undefined
  const filters = compartmentParamsOf(row.type).flatMap((name): Filter[] => {
    const param = paramOf(row, name)
    return param === undefined
      ? []
      : [
          {
            kind: 'reference',
            atoms: param.atoms,
            values: [{ kind: 'own', type: 'Patient', id: patientId }],
          },
        ]
  })
  const itself: Filter[] = row.type === 'Patient' ? [{ kind: 'id', ids: [patientId] }] : []
  const [only, ...others] = [...itself, ...filters]
  return only !== undefined && others.length === 0
    ? only
    : { kind: 'any', filters: [...itself, ...filters] }
}

/** Holds for what is in the compartment of whatever Patient is there. */
export const aboutAnyPatient = (row: ResourceTypeRow): Filter => ({
  kind: 'chain',
  atoms: compartmentParamsOf(row.type).flatMap((name) => paramOf(row, name)?.atoms ?? []),
  type: 'Patient',
  filter: { kind: 'all', filters: [] },
})
