import { expect, test } from 'vitest'
import { knownReferrals, saidUnderWay } from '../../src/fhir/cds-referrals.ts'
import { EXCHANGE_CODES } from '../../src/fhir/codes.ts'
import { concept } from '../../src/fhir/derived.ts'
import type { ServiceRequest } from '../../src/fhir/r4/types.ts'
import { faultsInVoices } from '../helpers/every-voice.ts'

// What a records system has of referrals of ours; common practice, no source but the status of R4 (value set
// request-status): draft is not actionable yet, active and on-hold are, all others have ended.

const referral = (change: Partial<ServiceRequest> = {}): ServiceRequest => ({
  resourceType: 'ServiceRequest',
  id: 'kept',
  status: 'active',
  intent: 'order',
  code: concept(EXCHANGE_CODES.referral),
  subject: { reference: 'Patient/child-1' },
  ...change,
})

test.each([
  ['active', true, true],
  ['on-hold', true, true],
  ['draft', true, false],
  ['completed', false, false],
  ['revoked', false, false],
  ['entered-in-error', false, false],
  ['unknown', false, false],
] as const)('one that is %s: on record %s, under way %s', (status, isReferred, isUnderWay) => {
  const known = knownReferrals([referral({ status })], [])

  expect(known.isReferred).toBe(isReferred)
  expect(known.underWay !== undefined).toBe(isUnderWay)
})

test('it is under way since the first of several was written, by the day its author wrote', () => {
  const found = ['2026-02-20', '2026-02-10T23:30:00-05:00', '2026-02', undefined].map(
    (authoredOn) => referral(authoredOn === undefined ? {} : { authoredOn }),
  )

  expect(knownReferrals(found, []).underWay).toEqual({ since: '2026-02-10' })
  expect(knownReferrals(found.slice(2), []).underWay).toEqual({ since: undefined })
})

test('what is about to be signed is not under way, by its id or an identifier', () => {
  const identifier = [{ system: 'https://records.example/orders', value: '7' }]
  const kept = referral({ identifier })

  expect(knownReferrals([kept], [referral({ id: 'kept' })]).underWay).toBeUndefined()
  expect(knownReferrals([kept], [referral({ id: 'new', identifier })])).toEqual({
    isReferred: false,
    underWay: undefined,
  })
  expect(knownReferrals([kept], [referral({ id: 'new' })]).underWay).toBeDefined()
  const { id: _none, ...nameless } = referral()
  expect(knownReferrals([nameless], [nameless]).underWay).toBeDefined()
})

test('it is said with its day and without, to both readers in every language', () => {
  const { underWay } = knownReferrals([referral({ authoredOn: '2026-02-10' })], [])

  expect(
    faultsInVoices([underWay, { since: undefined }].flatMap((one) => one ?? []).map(saidUnderWay)),
  ).toEqual([])
})
