import { expect, test } from 'vitest'
import { decimal } from '../../src/fhir/decimal.ts'
import type { Observation } from '../../src/fhir/r4/types.ts'
import { stamped } from '../../src/fhir/stamp.ts'

const STAMP = { id: 'new', version: 3, updatedAt: '2026-03-02T09:00:00.000Z' }

test('id, version and time are ours, everything else is as it was', () => {
  const sent: Observation = {
    resourceType: 'Observation',
    id: 'theirs',
    meta: {
      versionId: '99',
      lastUpdated: '2001-01-01T00:00:00Z',
      source: 'https://practice.example',
      tag: [{ code: 'a' }],
    },
    status: 'final',
    code: { text: 'x' },
    valueQuantity: { value: decimal('6.0') },
  }

  const text = stamped(sent, STAMP)

  expect(text).toBe(
    '{"resourceType":"Observation","id":"new","meta":{"versionId":"3","lastUpdated":"2026-03-02T09:00:00.000Z","source":"https://practice.example","tag":[{"code":"a"}]},"status":"final","code":{"text":"x"},"valueQuantity":{"value":6.0}}',
  )
})

test('a resource without meta gets one', () => {
  const sent: Observation = { resourceType: 'Observation', status: 'final', code: { text: 'x' } }

  expect(stamped(sent, STAMP)).toBe(
    '{"resourceType":"Observation","id":"new","meta":{"versionId":"3","lastUpdated":"2026-03-02T09:00:00.000Z"},"status":"final","code":{"text":"x"}}',
  )
})
