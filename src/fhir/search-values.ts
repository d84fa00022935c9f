import { addContained } from './contained-values.ts'
import { SYSTEMS } from './codes.ts'
import { spanOfValue } from './date-values.ts'
import { PARTNER_PLACE } from './own-search-params.ts'
import { pairAdder, pathOfPair } from './pair-values.ts'
import { placeTree, type PlaceTree, visitPlaces } from './place-tree.ts'
import { quantitiesOf } from './quantity-values.ts'
import type { Atom, SearchKind } from './r4/search-line.ts'
import { canonicalOf, referenceAdder } from './reference-values.ts'
import { rowOf } from './registry.ts'
import type { ResourceTypeRow } from './registry-row.ts'
import { isFamilyName, NO_SEARCH_VALUES, partPath, type SearchValues } from './search-index.ts'
import { type Add, emptyRows, type Rows, withoutRepeats } from './search-rows.ts'
import { folded, indexed, laterParts } from './search-text.ts'
import { tokenAdder } from './token-values.ts'

/** What is read of the resources of a type. */
interface Reading {
  readonly row: ResourceTypeRow
  readonly tree: PlaceTree<Add>
  /** By its references to a Patient a resource belongs to a child. */
  readonly patient: ReadonlySet<string>
  /** Is it found by the partner whose it is? */
  readonly hasPartner: boolean
}

const READINGS = new Map<string, Reading>()

function readingOf(row: ResourceTypeRow): Reading {
  const known = READINGS.get(row.type)
  if (known !== undefined) return known
  const patient = row.search.find(({ code }) => code === 'patient')?.atoms ?? []
  const reading = {
    row,
    tree: placeTree([...placesOf(row).values()]),
    patient: new Set(patient.map(({ path }) => path)),
    hasPartner: row.search.some(({ atoms }) => atoms.some(({ path }) => path === PARTNER_PLACE)),
  }
  READINGS.set(row.type, reading)
  return reading
}

function treeOf(type: string): PlaceTree<Add> | undefined {
  const row = rowOf(type)
  return row === undefined ? undefined : readingOf(row).tree
}

/**
 * The places that a type is indexed by, each once however many parameters read it. Restricted to some
 * targets or not, it is one place: the search looks at the target.
 */
function placesOf({ search }: ResourceTypeRow): Map<string, readonly [path: string, add: Add]> {
  const places = new Map<string, readonly [string, Add]>()
  for (const param of search) {
    for (const atom of param.atoms)
      places.set(`${tableOf(param.kind)} ${atom.path}`, [atom.path, adderOf(param.kind, atom)])
    for (const anchor of param.anchors)
      if (anchor !== '')
        places.set(`pairs ${pathOfPair(param, anchor)}`, [anchor, pairAdder(param, anchor)])
  }
  return places
}

/** A canonical is a URI too, and a number a quantity. */
function tableOf(kind: SearchKind): string {
  return kind === 'number' ? 'quantity' : kind
}

interface Kept {
  readonly type: string
  readonly id: string
  /** Ours: only references to it are indexed as resources of this service. */
  readonly baseUrl: string
  /** In whose compartment it is. */
  readonly partnerId?: string | undefined
}

/** What a resource is found by. */
export function searchValues(
  { type, id, baseUrl, partnerId }: Kept,
  resource: object,
): SearchValues {
  const row = rowOf(type)
  if (row === undefined) return NO_SEARCH_VALUES
  const { tree, patient, hasPartner } = readingOf(row)
  const found = emptyRows()
  if (hasPartner && partnerId !== undefined)
    found.tokens.push({ path: PARTNER_PLACE, system: SYSTEMS.partner, code: partnerId })
  visitPlaces(tree, resource, (add, value) => add(found, value, baseUrl))
  addContained(found, resource, { baseUrl, treeOf })
  const rows = withoutRepeats(found)
  const patientId =
    type === 'Patient'
      ? id
      : rows.references.find((one) => one.targetType === 'Patient' && patient.has(one.path))
          ?.targetId
  return withColumns(rows, row, patientId)
}

function adderOf(kind: SearchKind, atom: Atom): Add {
  const { path, type } = atom
  switch (kind) {
    case 'token':
      return tokenAdder(atom)
    case 'reference':
      return referenceAdder(atom)
    case 'string':
      return stringAdder(path)
    case 'uri':
      return ({ uris }, value) => {
        if (typeof value !== 'string') return
        uris.push(
          type === 'canonical'
            ? canonicalOf(path, value)
            : { path, value: indexed(value), version: '' },
        )
      }
    case 'date':
      return ({ dates }, value) => {
        const span = spanOfValue(value)
        if (span !== undefined) dates.push({ path, start: span.from, end: span.to })
      }
    case 'quantity':
    case 'number':
      return ({ quantities }, value) => quantities.push(...quantitiesOf(path, value))
    case 'composite':
      throw new Error('A composite reads no place of its own')
  }
}

/** Parts of a double family name are found by themselves too, as R4 recommends (3.1.1.4.8). */
function stringAdder(path: string): Add {
  const hasParts = isFamilyName(path)
  const row = (at: string, text: string) => ({
    path: at,
    value: folded(text),
    exact: indexed(text),
  })
  return ({ strings }, value) => {
    if (typeof value !== 'string' || value === '') return
    strings.push(row(path, value))
    if (hasParts) strings.push(...laterParts(value).map((part) => row(partPath(path), part)))
  }
}

/** Moves what has columns of its own out of the rows. */
function withColumns(
  rows: Rows,
  { columns }: ResourceTypeRow,
  patientId: string | undefined,
): SearchValues {
  const code = taken(rows.tokens, ({ path }) => path === columns.code)
  const status = taken(rows.tokens, ({ path }) => path === columns.status)
  const date = taken(rows.dates, ({ path }) => columns.date.includes(path))
  taken(
    rows.references,
    ({ path, targetType, targetId }) =>
      path === columns.patient && targetType === 'Patient' && targetId === patientId,
  )
  return {
    ...rows,
    ...(patientId === undefined ? {} : { patientId }),
    ...(code === undefined ? {} : { code: { system: code.system, code: code.code } }),
    ...(status === undefined ? {} : { status: status.code }),
    ...(date === undefined ? {} : { date: { from: date.start, to: date.end } }),
  }
}

/** The first row of its kind, taken out. */
function taken<Row>(rows: Row[], isMeant: (row: Row) => boolean): Row | undefined {
  const index = rows.findIndex(isMeant)
  return index < 0 ? undefined : rows.splice(index, 1)[0]
}
