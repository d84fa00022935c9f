import { isObject } from './element.ts'
import { type PlaceTree, visitPlaces } from './place-tree.ts'
import { containedPath } from './search-index.ts'
import { type Add, emptyRows, type Rows } from './search-rows.ts'

/** What one resource is found by through what it contains: a hostile body must not fill the index. */
const MOST_ROWS = 2_000

/** From the resource to what it contains, from there to what that refers to, and once more. */
const MOST_STEPS = 3

interface Inner {
  /** Of the reference, as the index has it. */
  readonly place: string
  readonly id: string
  readonly steps: number
}

/**
 * Adds what the contained resources are found by that a resource refers to (`#id`), each at the place of the
 * reference: a chain looks inside them (R4 3.1.1.5.5), and nothing else does.
 *
 * @param treeOf the places that a type is indexed by
 */
export function addContained(
  rows: Rows,
  resource: object,
  {
    baseUrl,
    treeOf,
  }: {
    readonly baseUrl: string
    readonly treeOf: (type: string) => PlaceTree<Add> | undefined
  },
): void {
  const contained = containedIn(resource)
  if (contained.size === 0) return
  const pending = innerReferences(rows, '', 1)
  const seen = new Set<string>()
  let room = MOST_ROWS
  for (const { place, id, steps } of pending) {
    const one = contained.get(id)
    const tree = one === undefined ? undefined : treeOf(one.type)
    if (one === undefined || tree === undefined || seen.has(`${place} ${id}`)) continue
    seen.add(`${place} ${id}`)
    const found = emptyRows()
    visitPlaces(tree, one.resource, (add, value) => add(found, value, baseUrl))
    const within = containedPath(place, one.type)
    rows.uris.push({ path: within, value: `#${id}`, version: '' })
    if (steps < MOST_STEPS) pending.push(...innerReferences(found, `${within} `, steps + 1))
    room -= moveRows(found, rows, { within, room })
    if (room <= 0) return
  }
}

interface Contained {
  readonly type: string
  readonly resource: object
}

function containedIn(resource: object): ReadonlyMap<string, Contained> {
  const found = new Map<string, Contained>()
  const listed: unknown = 'contained' in resource ? resource.contained : undefined
  for (const one of Array.isArray(listed) ? (listed as unknown[]) : []) {
    if (!isObject(one)) continue
    const { id, resourceType: type } = one
    if (typeof id === 'string' && typeof type === 'string') found.set(id, { type, resource: one })
  }
  return found
}

/** References, and canonicals, that stay inside the resource. */
const innerReferences = ({ uris }: Rows, before: string, steps: number): Inner[] =>
  uris.flatMap(({ path, value }) =>
    value.startsWith('#') ? [{ place: `${before}${path}`, id: value.slice(1), steps }] : [],
  )

/** Answers how many were moved. */
function moveRows(
  from: Rows,
  to: Rows,
  { within, room }: { readonly within: string; readonly room: number },
): number {
  let left = room
  const move = <Row extends { readonly path: string }>(some: readonly Row[], into: Row[]) => {
    for (const row of some.slice(0, left)) into.push({ ...row, path: `${within} ${row.path}` })
    left -= Math.min(left, some.length)
  }
  move(from.tokens, to.tokens)
  move(from.references, to.references)
  move(from.strings, to.strings)
  move(from.uris, to.uris)
  move(from.dates, to.dates)
  move(from.quantities, to.quantities)
  move(from.pairs, to.pairs)
  return room - left
}
