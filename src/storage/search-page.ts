import type { Query, TypeSearch } from '../fhir/query.ts'
import type { Scope } from './database.ts'
import { isoInstant } from './instant.ts'
import { conditionsOf } from './search-conditions.ts'
import { type Order, orderOf, type PagePlace, type Run } from './search-order.ts'
import { SearchStatement } from './search-statement.ts'
import { columnsOf, scopeOf } from './search-subject.ts'
import { manyText, type Variant, type Ways, waysOf, windowOf } from './search-ways.ts'

/** One run of one type: the same order, by several ways. */
interface Stretch {
  readonly sql: SearchStatement
  readonly clinicId: string
  readonly search: TypeSearch
  readonly order: Order
  readonly ways: Ways
  readonly run: Run
  /** Which of the runs it is. */
  readonly place: number
  /** What holds of the run and of what lies behind the page before. */
  readonly beyond: readonly string[]
  readonly limit: string
}

/** The statement of a page, of one row more than it holds; the plan tests explain it. */
export function pageStatement(
  { clinicId, partnerId }: Scope,
  { searches, sort, count }: Query,
  place?: PagePlace,
): { readonly text: string; readonly values: readonly unknown[] } {
  const sql = new SearchStatement({ partnerId })
  const limit = sql.value(count + 1, 'int')
  const isAlone = searches.length === 1
  const stretches = searches.flatMap((search) => {
    const { type } = search
    const order = orderOf(sql, { clinicId, type, isDated: isAlone && isByDate(search) }, sort)
    const ways = waysOf(sql, search, isAlone && order.join === '')
    return order.runs.flatMap((run, index): Stretch[] => {
      const beyond = beyondOf(sql, run, place)
      return beyond === undefined
        ? []
        : [{ sql, clinicId, search, order, ways, run, place: index, beyond, limit }]
    })
  })
  return { text: unitedText(stretches), values: sql.values }
}

/** It is asked for a date that has a column. */
const isByDate = ({ type, filters }: TypeSearch): boolean =>
  filters.some(
    (filter) =>
      filter.kind === 'date' &&
      filter.atoms.every(({ path }) => columnsOf(type).date.includes(path)),
  )

function beyondOf(sql: SearchStatement, run: Run, place?: PagePlace): string[] | undefined {
  if (place === undefined) return [run.where]
  const after = run.after(place)
  if (after === 'nothing') return undefined
  return [
    run.where,
    `r.created_at <= ${sql.value(place.until, 'timestamptz')}`,
    ...(after === 'all' ? [] : [after.condition]),
  ]
}

/** All ways of all runs, the first of their rows; what a way asks beforehand is asked once. */
function unitedText(stretches: readonly Stretch[]): string {
  const [first] = stretches
  if (first === undefined) throw new Error('A search is of one type at least')
  const isAlone = stretches.length === 1 && first.ways.variants.length === 1
  const parts = stretches.flatMap((stretch, index) =>
    stretch.ways.variants.map((variant) => {
      const gate = { always: '', many: ` and ${manyIn(index)}`, few: ` and not ${manyIn(index)}` }
      const { order, place } = stretch
      const sorting = isAlone ? '' : `${place} as run, ${order.columns}, `
      return `select ${COLUMNS}, ${sorting}${order.keys} as keys
        ${matches(stretch, variant, { gate: gate[variant.when] })}`
    }),
  )
  const [only] = parts
  if (only !== undefined && isAlone) return only
  const questions = stretches.flatMap((stretch, index) =>
    stretch.ways.counted.length === 0
      ? []
      : [`way${index} as materialized (${questionOf(stretch)})`],
  )
  return `${questions.length === 0 ? '' : `with ${questions.join(', ')} `}select ${FOUND}
    from (${parts.map((part) => `(${part})`).join(' union all ')}) r
    order by r.run, ${first.order.orderBy} limit ${first.limit}`
}

const manyIn = (index: number): string => `(select many from way${index})`

const COLUMNS = `r.type, r.id, r.version, r.partner_id as "partnerId", r.patient_id as "patientId", r.deleted, r.body,
  ${isoInstant('r.updated_at')} as "updatedAt"`
const FOUND =
  'r.type, r.id, r.version, r."partnerId", r."patientId", r.deleted, r.body, r."updatedAt", r.keys'

/** The matches in their order, all but the columns. */
function matches(
  { sql, clinicId, search, order, run, beyond, limit }: Stretch,
  { ways }: Variant,
  { gate = '', from = 'resources' }: { readonly gate?: string; readonly from?: string },
): string {
  const conditions = [conditionsOf(sql, clinicId, { ...search, ways }, 'r'), ...beyond]
  return `from ${from} r${order.join} where ${conditions.join(' and ')}${gate}
    order by ${run.orderBy} limit ${limit}`
}

/** Whether a page is filled by what stands nearest in the order, when each is asked. */
function questionOf(stretch: Stretch): string {
  const { sql, clinicId, search, ways, run, beyond, limit } = stretch
  const many = ways.variants.find(({ when }) => when === 'many')
  if (many === undefined) throw new Error('What is counted is counted for a way')
  const of = { clinicId, type: search.type }
  const conditions = [scopeOf({ sql, ...of }, 'r'), 'not r.deleted', ...beyond]
  const near = `(select * from resources r where ${conditions.join(' and ')}
    order by ${run.orderBy} limit ${windowOf(limit)})`
  const page = `select ${matches(stretch, many, { from: near })}`
  return manyText(sql, of, { counted: ways.counted, page, limit })
}
