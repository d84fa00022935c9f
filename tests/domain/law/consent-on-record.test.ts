import { expect, test } from 'vitest'
import { civilDate } from '../../../src/domain/calendar.ts'
import {
  CONSENT_DEMANDS,
  type ConsentDemand,
  type ConsentOnRecord,
  overridden,
  unmetDemands,
} from '../../../src/domain/law/consent-on-record.ts'
import { consent, CONSENT_DAY } from '../../helpers/consents.ts'

const unmet = (known: Partial<ConsentOnRecord>) =>
  unmetDemands(consent(known), CONSENT_DEMANDS, CONSENT_DAY)

test('a consent that is all it must be lacks nothing', () => {
  expect(unmet({})).toEqual([])
})

const day = civilDate

test.each<[Partial<ConsentOnRecord>, readonly ConsentDemand[]]>([
  [{ status: 'withdrawn' }, ['active']],
  [{ status: 'draft' }, ['active']],
  [{ status: 'entered-in-error' }, ['active']],
  [{ status: 'unknown' }, ['active']],
  [{ decision: 'deny' }, ['permits']],
  [{ decision: 'unknown' }, ['permits']],
  [{ scope: 'other' }, ['for-disclosure']],
  [{ scope: 'unknown' }, ['for-disclosure']],
  [{ grantor: 'other' }, ['by-parent']],
  [{ grantor: 'unknown' }, ['by-parent']],
  [{ written: 'no' }, ['written']],
  [{ written: 'unknown' }, ['written']],
  [{ givenOn: 'unknown' }, ['dated']],
  [{ givenOn: day('2026-06-15') }, []],
  [{ givenOn: day('2026-06-16') }, ['dated']],
  [{ from: day('2026-06-15') }, []],
  [{ from: day('2026-06-16') }, ['started']],
  [{ from: 'unknown' }, ['started']],
  [{ until: day('2026-06-15') }, []],
  [{ until: day('2026-06-14') }, ['not-expired']],
  [{ until: 'open' }, ['names-end']],
  [{ until: 'unknown' }, ['not-expired', 'names-end']],
  [{ recipient: 'another' }, ['not-for-another', 'names-recipient']],
  [{ recipient: 'not-named' }, ['names-recipient']],
  [{ recipient: 'unknown' }, ['not-for-another', 'names-recipient']],
  [{ namesRecords: 'no' }, ['names-records']],
  [{ namesRecords: 'unknown' }, ['names-records']],
  [{ namesPurpose: 'no' }, ['names-purpose']],
  [{ namesPurpose: 'unknown' }, ['names-purpose']],
])('a consent with %j lacks %j', (known, expected) => {
  expect(unmet(known)).toEqual(expected)
})

test('only what is demanded is looked at', () => {
  expect(unmetDemands(consent({ written: 'no' }), ['active'], CONSENT_DAY)).toEqual([])
})

test.each<[string, Partial<ConsentOnRecord>, boolean]>([
  ['of the same day', { givenOn: day('2026-06-01') }, true],
  ['of the day before', { givenOn: day('2026-05-31') }, false],
  ['without a day', { givenOn: 'unknown' }, true],
  ['that is a draft', { status: 'draft' }, false],
  ['that is withdrawn', { status: 'withdrawn' }, false],
  ['of unknown status', { status: 'unknown' }, true],
  ['that begins today', { from: day('2026-06-15') }, true],
  ['that begins tomorrow', { from: day('2026-06-16') }, false],
  ['of unknown beginning', { from: 'unknown' }, true],
  ['that ended yesterday', { until: day('2026-06-14') }, false],
  ['that ends today', { until: day('2026-06-15') }, true],
  ['without a known end', { until: 'unknown' }, true],
  ['without an end', { until: 'open' }, true],
  ['of something else', { scope: 'other' }, false],
  ['of an unknown scope', { scope: 'unknown' }, true],
  ['towards another recipient', { recipient: 'another' }, false],
  ['that nobody signed', { written: 'no' }, true],
  ['that is a permission', { decision: 'permit' }, false],
  ['of which it is unknown what it says', { decision: 'unknown' }, false],
])('a refusal %s: it stands against the consent %s', (_title, known, expected) => {
  const refusal = consent({ decision: 'deny', givenOn: day('2026-06-10'), ...known })

  expect(overridden(consent(), [consent(), refusal], CONSENT_DAY)).toBe(expected)
})

test('a refusal stands against a consent of which the day is unknown', () => {
  const refusal = consent({ decision: 'deny', givenOn: day('2020-01-01') })

  expect(overridden(consent({ givenOn: 'unknown' }), [refusal], CONSENT_DAY)).toBe(true)
})
