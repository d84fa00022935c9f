import { randomUUID } from 'node:crypto'
import { beforeAll, describe, expect, test } from 'vitest'
import { parseText } from '../../src/fhir/json-body.ts'
import { parseQuery } from '../../src/fhir/query.ts'
import type { Atom } from '../../src/fhir/r4/search-line.ts'
import { REGISTRY } from '../../src/fhir/registry.ts'
import type { ResourceTypeRow } from '../../src/fhir/registry-row.ts'
import type { SearchValues } from '../../src/fhir/search-index.ts'
import type { SearchParam } from '../../src/fhir/search-params.ts'
import { searchValues } from '../../src/fhir/search-values.ts'
import type { Database } from '../../src/storage/database.ts'
import { insertVersions } from '../../src/storage/resource-writes.ts'
import { searchPage } from '../../src/storage/search.ts'
import { testDatabase } from '../helpers/database.ts'
import { ownExamples } from '../helpers/own-examples.ts'

// What the index holds of one invented resource of every type, each search parameter of R4 finds again.

const clinicId = randomUUID()
const baseUrl = 'https://footing.example/fhir'
const at = '2026-03-02T09:00:00.000Z'
const examples = new Map(ownExamples().map((example) => [example.type, example]))

let database: Database

beforeAll(async () => {
  const made = await testDatabase()
  database = made.database
  await database.inClinic({ clinicId }, (tx) =>
    insertVersions(
      tx,
      clinicId,
      [...examples.values()].map(({ type, text }) => ({
        type,
        id: 'own',
        version: 1,
        partnerId: undefined,
        deleted: false,
        body: text,
        updatedAt: at,
        search: valuesOf(type),
      })),
    ),
  )
  return made.drop
})

function valuesOf(type: string): SearchValues {
  const parsed = parseText(examples.get(type)?.text ?? '')
  if (!parsed.ok) throw new Error(`${type} cannot be read`)
  const resource = parsed.value
  if (typeof resource !== 'object' || resource === null) throw new Error(`${type} is no object`)
  return searchValues({ type, id: 'own', baseUrl }, resource)
}

const escaped = (text: string) => text.replaceAll(/[\\,$|]/g, '\\$&')

/** How the values at a place are asked for, those with a column included. */
function texts({ columns }: ResourceTypeRow, values: SearchValues, param: SearchParam): string[] {
  const of = <Row extends { readonly path: string }>(rows: readonly Row[], atom: Atom) =>
    rows.filter(({ path }) => path === atom.path)
  return param.atoms.flatMap((atom) => {
    switch (param.kind) {
      case 'token':
        return [
          ...(atom.path === columns.status && values.status !== undefined ? [values.status] : []),
          ...(atom.path === columns.code && values.code !== undefined
            ? [`${escaped(values.code.system)}|${escaped(values.code.code)}`]
            : []),
          ...of(values.tokens, atom).map(({ system, code }) =>
            system === '' ? escaped(code) : `${escaped(system)}|${escaped(code)}`,
          ),
        ]
      case 'reference':
        return [
          ...(atom.path === columns.patient && values.patientId !== undefined
            ? [values.patientId, `Patient/${values.patientId}`]
            : []),
          ...of(values.references, atom)
            .filter(
              ({ targetType }) => atom.targets.length === 0 || atom.targets.includes(targetType),
            )
            .flatMap(({ targetType, targetId }) => [`${targetType}/${targetId}`, targetId]),
          ...(atom.targets.length > 0
            ? []
            : of(values.uris, atom).map(({ value }) => escaped(value))),
        ]
      case 'string':
        return of(values.strings, atom).map(({ exact }) => escaped(exact))
      case 'uri':
        return of(values.uris, atom).map(({ value }) => escaped(value))
      case 'date':
        return [
          ...(columns.date.includes(atom.path) && values.date !== undefined
            ? [`sa${values.date.from.replace(/^\d{4}/, '0002')}`]
            : []),
          ...of(values.dates, atom).map(({ start }) => `sa${start.replace(/^\d{4}/, '0002')}`),
        ]
      case 'number':
      case 'quantity':
        return of(values.quantities, atom).map(({ low }) => `ge${low.replace('-Infinity', '0')}`)
      case 'composite':
        return []
    }
  })
}

async function finds(row: ResourceTypeRow, name: string, text: string): Promise<boolean> {
  const query = parseQuery(row, [[name, text]], { handling: 'strict', baseUrl, now: at })
  const { found } = await database.inClinic({ clinicId }, (tx) =>
    searchPage(tx, { clinicId }, query),
  )
  return found.length === 1
}

describe.each(REGISTRY.filter(({ type }) => examples.has(type)))('$type', (row) => {
  test('each value is found by its parameter, and by no other value', async () => {
    const values = valuesOf(row.type)
    for (const param of row.search) {
      const asked = texts(row, values, param)
      for (const text of asked)
        expect(await finds(row, param.code, text), `${param.code}=${text}`).toBe(true)
      const isTruth = param.atoms.some(({ type }) => type === 'exists')
      const never: Readonly<Record<string, string>> = {
        date: 'eb0003',
        number: 'lt-9e99',
        quantity: 'lt-9e99',
      }
      if (param.kind !== 'composite' && !isTruth)
        expect(
          await finds(row, param.code, never[param.kind] ?? 'http://nobody.example/nothing'),
          `${param.code} of another value`,
        ).toBe(false)
    }
  })

  test(':missing tells what is there', async () => {
    const values = valuesOf(row.type)
    for (const param of row.search.filter(({ kind }) => kind !== 'composite')) {
      const isThere = texts(row, values, param).length > 0
      const answers = [
        await finds(row, `${param.code}:missing`, 'false'),
        await finds(row, `${param.code}:missing`, 'true'),
      ]
      // Of what has no value to search by, a text or a display may be there.
      if (isThere) expect(answers, param.code).toEqual([true, false])
      else expect(answers[0], param.code).not.toBe(answers[1])
    }
  })
})
