import { beforeAll, expect, test } from 'vitest'
import { z } from 'zod'
import type { AuditRecord } from '../../src/fhir/audit-record.ts'
import { openAudit } from '../../src/services/audit.ts'
import { type TestService, testService, type Who } from '../helpers/service.ts'

// More calls came in than AuditEvents can be made of while somebody waits: a search says what it does not
// hold (R4 3.1.0.9: an outcome among the entries, never an error), a report waits or refuses.

/** More than any machine makes in the half second that a search waits. */
const MANY = 3_000

let service: TestService
let staff: Who

beforeAll(async () => {
  service = await testService()
  ;({ staff } = await service.clinic())
  const record: AuditRecord = {
    v: 1,
    kind: 'rest',
    interaction: 'read',
    action: 'R',
    outcome: 0,
    request: 'much-asked',
    about: [{ ref: 'Patient/p-1', version: 1, did: 'read' }],
    patients: ['p-1'],
  }
  // They came in before the search; the clock of these tests stands still.
  const { db, newId } = service.service.context
  const audit = openAudit(db, { now: () => new Date('2026-03-02T08:00:00Z'), newId })
  await Promise.all(Array.from({ length: MANY }, () => audit.record(staff.clinicId, record)))
  return service.close
})

const Found = z.object({
  total: z.number().optional(),
  entry: z
    .array(
      z.object({
        resource: z.union([
          z.object({
            resourceType: z.literal('OperationOutcome'),
            issue: z.array(
              z.object({
                severity: z.string(),
                code: z.string(),
                details: z.object({ text: z.string() }),
              }),
            ),
          }),
          z.object({ resourceType: z.literal('AuditEvent') }),
        ]),
        search: z.object({ mode: z.string() }),
      }),
    )
    .default([]),
})

async function searched(): Promise<z.infer<typeof Found>> {
  const answer = await service.send(staff, {
    url: '/fhir/AuditEvent?entity=Patient/p-1&action=R&_total=accurate&_count=1',
  })
  expect(answer.status, answer.text).toBe(200)
  return Found.parse(answer.json)
}

const notes = ({ entry }: z.infer<typeof Found>) =>
  entry.filter(({ search }) => search.mode === 'outcome')

test('a search says since when calls are not among its matches yet; asked again, it has them all', async () => {
  const first = await searched()

  expect(first.total).toBeGreaterThan(0)
  expect(first.total).toBeLessThan(MANY)
  expect(notes(first)).toMatchObject([
    { resource: { issue: [{ severity: 'warning', code: 'incomplete' }] } },
  ])
  expect(JSON.stringify(notes(first))).toMatch(/since \d{4}-\d\d-\d\dT[\d:.]+Z/)

  let last = first
  for (let again = 0; notes(last).length > 0 && again < MANY; again += 1) {
    // As autovacuum does of itself: what grew this fast is planned badly without.
    await service.sql('analyze')
    last = await searched()
  }
  expect(notes(last)).toEqual([])
  expect(last.total).toBe(MANY)
})
