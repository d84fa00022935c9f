import { describe, expect, test } from 'vitest'
import { z } from 'zod'
import { auditEvent } from '../../src/fhir/audit-event.ts'
import { validateResource } from '../../src/fhir/validate.ts'
import { readAuditRecord } from '../../src/services/audit-projection.ts'
import kept from '../cases/audit-events.json' with { type: 'json' }

// The log is verified by comparing each AuditEvent with the one that its record makes. So that a later version
// of the software finds nothing altered that was not, a record of one version always makes the same bytes.

const { place, cases } = z
  .object({
    place: z.object({ id: z.string(), recorded: z.string(), clinicId: z.string() }),
    cases: z.array(z.object({ name: z.string(), record: z.unknown(), event: z.string() })),
  })
  .parse(kept)

describe.each(cases)('$name', ({ record, event }) => {
  const made = auditEvent({ ...place, record: readAuditRecord(JSON.stringify(record)) })

  test('makes the AuditEvent that it made when it was written', () => {
    expect(JSON.stringify(made)).toBe(event)
  })

  test('is valid R4', () => {
    expect(validateResource(made)).toEqual([])
  })
})

test('every kind of record has a case', () => {
  const kinds = cases.map(({ record }) => z.object({ kind: z.string() }).parse(record).kind)

  expect(new Set(kinds)).toEqual(
    new Set(['rest', 'signin', 'export', 'configuration', 'notification', 'review', 'reminder']),
  )
})
