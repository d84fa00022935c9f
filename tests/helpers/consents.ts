import { civilDate } from '../../src/domain/calendar.ts'
import type { ConsentOnRecord } from '../../src/domain/law/consent-on-record.ts'
import { evidenceRef } from '../../src/domain/facts.ts'

export const CONSENT_DAY = civilDate('2026-06-15')

/** An invented consent that every regime accepts on CONSENT_DAY, with what a test changes. */
export const consent = (known: Partial<ConsentOnRecord> = {}): ConsentOnRecord => ({
  status: 'active',
  decision: 'permit',
  scope: 'disclosure',
  grantor: 'parent-or-guardian',
  written: 'yes',
  givenOn: civilDate('2026-06-01'),
  from: 'when-given',
  until: civilDate('2026-12-31'),
  recipient: 'this-one',
  namesRecords: 'yes',
  namesPurpose: 'yes',
  evidence: evidenceRef('Consent/a/_history/1'),
  ...known,
})
