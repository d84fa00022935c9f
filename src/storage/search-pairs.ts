import type { PairCriterion, TokenCriterion } from '../fhir/search-filter.ts'
import { numberCondition, unitConditions } from './search-ranges.ts'
import { codeCondition, codesOf } from './search-codes.ts'
import type { SearchStatement } from './search-statement.ts'

/** Both halves of a composite in one row. */
export function pairCondition(
  sql: SearchStatement,
  row: string,
  { second, ...first }: PairCriterion,
): string {
  const conditions = tokenConditions(sql, `${row}.system`, `${row}.code`, first)
  const [system, code] = [`${row}.second_system`, `${row}.second_code`]
  switch (second.kind) {
    case 'token':
      conditions.push(...tokenConditions(sql, system, code, second.value))
      break
    case 'quantity':
      conditions.push(
        numberCondition(sql, { row, hasNear: false }, second.value),
        ...unitConditions(sql, { system, code, unit: `${row}.unit` }, second.value),
      )
      break
    case 'reference':
      conditions.push(
        ...(second.value.kind === 'elsewhere'
          ? ['false']
          : [
              `${row}.target_id = ${sql.value(second.value.id)}`,
              ...(second.value.type === undefined
                ? []
                : [`${row}.target_type = ${sql.value(second.value.type)}`]),
            ]),
      )
  }
  return conditions.length === 0 ? 'true' : `(${conditions.join(' and ')})`
}

const tokenConditions = (
  sql: SearchStatement,
  systemColumn: string,
  codeColumn: string,
  { system, code, anyCase }: TokenCriterion,
): string[] => [
  ...(system === undefined ? [] : [`${systemColumn} = ${sql.value(system)}`]),
  ...(code === undefined
    ? []
    : [
        codeCondition(
          sql,
          { system: systemColumn, code: codeColumn },
          codesOf([{ code, anyCase }]),
        ),
      ]),
]
