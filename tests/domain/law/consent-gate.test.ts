import * as fc from 'fast-check'
import { expect, test } from 'vitest'
import { civilDate } from '../../../src/domain/calendar.ts'
import {
  consentGate,
  type Exchange,
  type Gate,
  gateOf,
} from '../../../src/domain/law/consent-gate.ts'
import type { ConsentDemand, ConsentOnRecord } from '../../../src/domain/law/consent-on-record.ts'
import { evidenceRef } from '../../../src/domain/facts.ts'
import { speaker } from '../../../src/domain/messages/speaker.ts'
import { consent, CONSENT_DAY } from '../../helpers/consents.ts'
import { faultsInVoices } from '../../helpers/every-voice.ts'

const english = speaker('en')

const exchange = (
  regime: Exchange['regime'],
  recipient: Exchange['recipient'] = 'orthotics-clinic',
  purpose: Exchange['purpose'] = 'treatment',
): Exchange => ({ regime, recipient, purpose })

const decide = (of: Exchange, ...consents: readonly ConsentOnRecord[]) =>
  consentGate(of, consents, CONSENT_DAY)

/** 34 CFR 303.414 and 99.30, 45 CFR 164.506 and 164.508: who sends, to whom, what for, what is needed. */
test.each<[Exchange['regime'], Exchange['recipient'], Exchange['purpose'], Gate]>([
  ['hipaa', 'orthotics-clinic', 'treatment', 'nothing'],
  ['hipaa', 'orthotics-clinic', 'payment', 'authorization'],
  ['hipaa', 'orthotics-clinic', 'other', 'authorization'],
  ['hipaa', 'orthotics-clinic', 'unknown', 'authorization'],
  ['hipaa', 'part-c', 'treatment', 'nothing'],
  ['hipaa', 'part-c', 'other', 'authorization'],
  ['hipaa', 'school', 'treatment', 'nothing'],
  ['hipaa', 'school', 'unknown', 'authorization'],
  ['hipaa', 'payer', 'payment', 'nothing'],
  ['hipaa', 'payer', 'treatment', 'authorization'],
  ['hipaa', 'unknown', 'treatment', 'authorization'],
  ['part-c', 'orthotics-clinic', 'treatment', 'part-c-consent'],
  ['part-c', 'part-c', 'treatment', 'nothing'],
  ['part-c', 'payer', 'payment', 'part-c-consent'],
  ['part-c', 'unknown', 'unknown', 'part-c-consent'],
  ['ferpa', 'orthotics-clinic', 'treatment', 'ferpa-consent'],
  ['ferpa', 'school', 'other', 'ferpa-consent'],
  ['unknown', 'orthotics-clinic', 'treatment', 'every-consent'],
  ['unknown', 'payer', 'payment', 'every-consent'],
])('%s to %s for %s: %s', (regime, recipient, purpose, gate) => {
  expect(gateOf(exchange(regime, recipient, purpose))).toBe(gate)
})

const day = civilDate

/** Whether a single consent with this change opens the gate of each regime, for a referral to the clinic. */
test.each<[string, Partial<ConsentOnRecord>, Record<'part-c' | 'ferpa' | 'unknown', boolean>]>([
  ['complete', {}, { 'part-c': true, ferpa: true, unknown: true }],
  ['withdrawn', { status: 'withdrawn' }, { 'part-c': false, ferpa: false, unknown: false }],
  ['of unknown status', { status: 'unknown' }, { 'part-c': false, ferpa: false, unknown: false }],
  ['expired', { until: day('2026-06-14') }, { 'part-c': false, ferpa: false, unknown: false }],
  ['on its last day', { until: day('2026-06-15') }, { 'part-c': true, ferpa: true, unknown: true }],
  ['not yet valid', { from: day('2026-06-16') }, { 'part-c': false, ferpa: false, unknown: false }],
  ['unsigned', { written: 'no' }, { 'part-c': false, ferpa: false, unknown: false }],
  ['for treatment', { scope: 'other' }, { 'part-c': false, ferpa: false, unknown: false }],
  ['by another', { grantor: 'other' }, { 'part-c': false, ferpa: false, unknown: false }],
  ['undated', { givenOn: 'unknown' }, { 'part-c': false, ferpa: false, unknown: false }],
  ['without an end', { until: 'open' }, { 'part-c': true, ferpa: true, unknown: true }],
  ['no recipient', { recipient: 'not-named' }, { 'part-c': true, ferpa: false, unknown: false }],
  ['for another', { recipient: 'another' }, { 'part-c': false, ferpa: false, unknown: false }],
  ['no records', { namesRecords: 'no' }, { 'part-c': true, ferpa: false, unknown: false }],
  [
    'purpose unknown',
    { namesPurpose: 'unknown' },
    { 'part-c': true, ferpa: false, unknown: false },
  ],
])('a consent that is %s %j opens the gate: %j', (_title, known, expected) => {
  for (const regime of ['part-c', 'ferpa', 'unknown'] as const)
    expect([regime, decide(exchange(regime), consent(known)).holds]).toEqual([
      regime,
      expected[regime] ? 'yes' : 'no',
    ])
})

test('a private therapist refers for treatment without any consent', () => {
  const found = decide(exchange('hipaa'), consent({ status: 'withdrawn' }))

  expect(found).toMatchObject({ holds: 'yes', gate: 'nothing', needed: [], evidence: [] })
  expect(found.recordAccess).toBe(false)
  expect(decide(exchange('hipaa'))).toMatchObject({ rule: 'consent-gate', holds: 'yes' })
  expect(decide(exchange('hipaa'), consent()).counting).toEqual([])
  expect(english.therapist(found.because)).toMatch(/^No consent is needed .*\. Accepted\.$/)
})

test('every consent that counts is given, in order; none is nearest where none is missing', () => {
  const [a, b] = ['Consent/a', 'Consent/b'].map((one) => consent({ evidence: evidenceRef(one) }))
  if (a === undefined || b === undefined) throw new Error()
  const refused = decide(exchange('part-c'), a, consent({ decision: 'deny' }))

  expect(decide(exchange('part-c'), b, a).counting).toEqual(['Consent/a', 'Consent/b'])
  expect(decide(exchange('part-c'), b, a)).not.toHaveProperty('nearest')
  expect(refused.refusedByFamily).toBe(true)
  expect(refused).not.toHaveProperty('nearest')
})

test('of equally near consents the first by its record is named, in any order', () => {
  const near = ['Consent/c', 'Consent/a', 'Consent/b'].map((one) =>
    consent({ until: day('2026-06-01'), evidence: evidenceRef(one) }),
  )

  expect(decide(exchange('part-c'), ...near).nearest).toBe('Consent/a')
  expect(decide(exchange('part-c'), ...near.toReversed()).nearest).toBe('Consent/a')
})

test('an authorization names its last day', () => {
  const outside = exchange('hipaa', 'orthotics-clinic', 'other')

  expect(decide(outside, consent()).holds).toBe('yes')
  expect(decide(outside, consent({ until: 'open' }))).toMatchObject({
    holds: 'no',
    needed: ['names-end'],
  })
})

test('an unknown law asks for what any law would ask for the same exchange', () => {
  const open = consent({ until: 'open' })

  expect(decide(exchange('unknown'), open).holds).toBe('yes')
  expect(decide(exchange('unknown', 'orthotics-clinic', 'other'), open)).toMatchObject({
    holds: 'no',
    needed: ['names-end'],
  })
})

test('without a consent everything is needed', () => {
  const found = decide(exchange('part-c'))

  expect(found).toMatchObject({ holds: 'no', refusedByFamily: false, counting: [] })
  expect(found.needed).toEqual<ConsentDemand[]>([
    'active',
    'permits',
    'for-disclosure',
    'by-parent',
    'written',
    'dated',
    'started',
    'not-expired',
    'not-for-another',
  ])
  expect(english.therapist(found.because)).toBe(
    "Content of a Part C programme needs a parent's written consent (34 CFR 303.414). Refused. Needed: active, neither draft nor withdrawn nor entered in error, permitting, about the disclosure of information to others, given by a parent or guardian, in writing, signed, with the day on which it was given, not after today, already valid, not expired, and not naming another recipient.",
  )
  expect(english.family(found.because)).toMatch(
    /^The early help program may share this information only if a parent has agreed in writing\. Nothing was taken in yet\./,
  )
  expect(speaker('es').therapist(found.because)).toMatch(
    /^El contenido de un programa de la Parte C requiere .*: activo, ni borrador/,
  )
})

test('of several consents the one that comes closest says what is missing', () => {
  const far = consent({ status: 'draft', written: 'no', evidence: evidenceRef('Consent/a') })
  const near = consent({ until: day('2026-06-01'), evidence: evidenceRef('Consent/b') })
  const found = decide(exchange('part-c'), far, near)

  expect(found.needed).toEqual(['not-expired'])
  expect(english.therapist(found.because)).toMatch(/Needed: not expired\.$/)
  expect(found.nearest).toBe('Consent/b')
  expect(found.evidence).toEqual(['Consent/a', 'Consent/b'])
})

test('a refusal as recent shuts the gate; an older one does not', () => {
  const refusal = (givenOn: string) => consent({ decision: 'deny', givenOn: day(givenOn) })

  expect(decide(exchange('part-c'), consent(), refusal('2026-06-01'))).toMatchObject({
    holds: 'no',
    refusedByFamily: true,
    needed: [],
  })
  expect(decide(exchange('part-c'), consent(), refusal('2026-05-31'))).toMatchObject({
    holds: 'yes',
    refusedByFamily: false,
  })
})

test('every decision can be said to both readers in both languages', () => {
  const refusal = consent({ decision: 'deny' })
  const exchanges = [
    exchange('hipaa'),
    exchange('part-c'),
    exchange('ferpa'),
    exchange('unknown'),
    exchange('hipaa', 'orthotics-clinic', 'other'),
  ]
  const consents = [[], [consent()], [consent(), refusal], [consent({ until: 'open' })]]

  expect(
    faultsInVoices(
      exchanges.flatMap((of) => consents.map((known) => decide(of, ...known).because)),
    ),
  ).toEqual([])
  expect(english.therapist(decide(exchange('part-c'), consent(), refusal).because)).toMatch(
    /Refused: a refusal as recent is on record\.$/,
  )
  expect(english.therapist(decide(exchange('part-c'), consent()).because)).toMatch(
    /Accepted: one is on record\.$/,
  )
})

test('what comes from early intervention, or may, is entered in the record of access', () => {
  const due = (['part-c', 'unknown', 'ferpa', 'hipaa'] as const).map(
    (regime) => decide(exchange(regime), consent()).recordAccess,
  )

  expect(due).toEqual([true, true, false, false])
})

const anyConsent = fc
  .record({
    status: fc.constantFrom('active', 'withdrawn', 'draft', 'unknown'),
    decision: fc.constantFrom('permit', 'deny', 'unknown'),
    scope: fc.constantFrom('disclosure', 'other', 'unknown'),
    written: fc.constantFrom('yes', 'no', 'unknown'),
    givenOn: fc.constantFrom(day('2026-05-01'), day('2026-06-10'), 'unknown'),
    until: fc.constantFrom(day('2026-06-01'), day('2026-07-01'), 'open', 'unknown'),
    recipient: fc.constantFrom('this-one', 'another', 'not-named', 'unknown'),
    evidence: fc.constantFrom('Consent/a', 'Consent/b', 'Consent/c').map(evidenceRef),
  } as const)
  .map((known) => consent(known as Partial<ConsentOnRecord>))
const anyConsents = fc.array(anyConsent, { maxLength: 4 })
const anyRegime = fc.constantFrom('part-c', 'ferpa', 'hipaa', 'unknown' as const)

test('an unknown law never opens a gate that a known one keeps shut', () => {
  fc.assert(
    fc.property(anyConsents, anyRegime, (consents, regime) => {
      const strict = decide(exchange('unknown'), ...consents).holds
      const known = decide(exchange(regime), ...consents).holds

      expect(strict === 'no' || known === 'yes').toBe(true)
    }),
  )
})

test('the order of the consents does not matter', () => {
  fc.assert(
    fc.property(anyConsents, anyRegime, (consents, regime) => {
      const one = decide(exchange(regime), ...consents)
      const other = decide(exchange(regime), ...consents.toReversed())

      expect([other.holds, other.counting, other.evidence]).toEqual([
        one.holds,
        one.counting,
        one.evidence,
      ])
      expect(other.needed.length).toBe(one.needed.length)
    }),
  )
})

test('a gate is open, or it says what is needed or that the family refused', () => {
  fc.assert(
    fc.property(anyConsents, anyRegime, (consents, regime) => {
      const { holds, needed, refusedByFamily } = decide(exchange(regime), ...consents)

      expect(holds === 'yes').toBe(needed.length === 0 && !refusedByFamily)
    }),
  )
})
