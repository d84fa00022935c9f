import * as fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { civilDate } from '../../../src/domain/calendar.ts'
import type { Exchange, Gate, Regime } from '../../../src/domain/law/consent-gate.ts'
import type { ConsentOnRecord } from '../../../src/domain/law/consent-on-record.ts'
import { closedDays, releaseGate } from '../../../src/domain/law/release-gate.ts'
import { consent, CONSENT_DAY } from '../../helpers/consents.ts'

const day = civilDate
const decide = (regime: Regime, ...consents: readonly ConsentOnRecord[]) =>
  releaseGate({ regime, purpose: 'treatment' }, consents, CONSENT_DAY)

/** Orthotics clinic to whom, what for: HIPAA treatment, otherwise an authorization (45 CFR 164.506, 164.508). */
test.each<[Regime, Exchange['purpose'], readonly Gate[]]>([
  ['hipaa', 'treatment', ['nothing']],
  ['hipaa', 'other', ['nothing', 'authorization']],
  ['hipaa', 'unknown', ['nothing', 'authorization']],
  ['part-c', 'treatment', ['part-c-consent']],
  ['part-c', 'other', ['part-c-consent', 'authorization']],
  ['ferpa', 'treatment', ['ferpa-consent']],
  ['ferpa', 'payment', ['ferpa-consent', 'authorization']],
  ['unknown', 'treatment', ['every-consent']],
  ['unknown', 'unknown', ['every-consent', 'authorization']],
])('to a partner under %s for %s: %j', (regime, purpose, gates) => {
  expect(releaseGate({ regime, purpose }, [], CONSENT_DAY).gates).toEqual(gates)
})

const refusal = consent({ decision: 'deny', givenOn: day('2026-06-10') })
type Outcomes = Record<Regime, string>
const all = (outcome: string): Outcomes => ({
  hipaa: outcome,
  'part-c': outcome,
  ferpa: outcome,
  unknown: outcome,
})
const lacking = (hipaa: string): Outcomes => ({ ...all('lacking'), hipaa })

describe.each<[string, readonly ConsentOnRecord[], Outcomes]>([
  ['nothing on record', [], lacking('free')],
  ['one that counts', [consent()], all('consented')],
  ['one that was withdrawn', [consent({ status: 'withdrawn' })], lacking('ended')],
  ['on its last day', [consent({ until: CONSENT_DAY })], all('consented')],
  ['past its last day', [consent({ until: day('2026-06-14') })], lacking('ended')],
  ['of unknown last day', [consent({ until: 'unknown' })], lacking('free')],
  ['of a day to come', [consent({ from: day('2026-06-16') })], lacking('free')],
  ['a draft', [consent({ status: 'draft' })], lacking('free')],
  ['entered in error', [consent({ status: 'entered-in-error' })], lacking('free')],
  ['of unknown status', [consent({ status: 'unknown' })], lacking('free')],
  ['withdrawn, for research', [consent({ status: 'withdrawn', scope: 'other' })], lacking('free')],
  [
    'withdrawn, for another',
    [consent({ status: 'withdrawn', recipient: 'another' })],
    lacking('free'),
  ],
  ['a refusal', [refusal], all('refused')],
  ['a refusal for another', [consent({ ...refusal, recipient: 'another' })], lacking('free')],
  ['a refusal that is withdrawn', [consent({ ...refusal, status: 'withdrawn' })], lacking('free')],
  [
    'a refusal of unknown recipient',
    [consent({ ...refusal, recipient: 'unknown' })],
    all('refused'),
  ],
  ['a refusal after a consent', [consent(), refusal], all('refused')],
  ['a refusal of the same day', [consent({ givenOn: day('2026-06-10') }), refusal], all('refused')],
  [
    'a consent after a refusal',
    [refusal, consent({ givenOn: day('2026-06-11') })],
    all('consented'),
  ],
  [
    'a refusal of unknown day',
    [consent(), consent({ ...refusal, givenOn: 'unknown' })],
    all('refused'),
  ],
  ['one withdrawn, one in force', [consent({ status: 'withdrawn' }), consent()], all('consented')],
])('%s', (_, consents, outcomes) => {
  test.each(['hipaa', 'part-c', 'ferpa', 'unknown'] as const)('under %s', (regime) => {
    const found = decide(regime, ...consents)

    expect(found.outcome).toBe(outcomes[regime])
    expect(found.holds).toBe(['free', 'consented'].includes(found.outcome) ? 'yes' : 'no')
  })
})

test('what a law asks of a consent it asks of what opens a record too', () => {
  const unwritten = consent({ written: 'unknown' })

  expect(decide('hipaa', unwritten).holds).toBe('yes')
  expect(decide('part-c', unwritten).outcome).toBe('lacking')
})

describe('days on which a record is closed', () => {
  const from = CONSENT_DAY

  test('none while a consent is open', () => {
    expect(closedDays('part-c', [consent({ until: 'open' })], from)).toEqual([])
  })

  test('from the day after the last, unless another follows', () => {
    const first = consent({ until: day('2026-06-30') })
    const second = consent({ givenOn: day('2026-07-05'), until: 'open' })

    expect(closedDays('part-c', [first], from)).toEqual([{ first: '2026-07-01', last: 'open' }])
    expect(closedDays('part-c', [first, second], from)).toEqual([
      { first: '2026-07-01', last: '2026-07-04' },
    ])
  })

  test('from today when it is closed already, without looking back', () => {
    expect(closedDays('ferpa', [], from)).toEqual([{ first: CONSENT_DAY, last: 'open' }])
  })

  test('a refusal of some days closes these', () => {
    const some = consent({ ...refusal, from: day('2026-07-01'), until: day('2026-07-03') })

    expect(closedDays('hipaa', [some], from)).toEqual([{ first: '2026-07-01', last: '2026-07-03' }])
  })

  test('on every day they say what the gate says', () => {
    const days = fc
      .integer({ min: 1, max: 30 })
      .map((n) => day(`2026-06-${String(n).padStart(2, '0')}`))
    const some = fc.record({
      status: fc.constantFrom('active', 'withdrawn', 'draft', 'unknown'),
      decision: fc.constantFrom('permit', 'deny', 'unknown'),
      givenOn: fc.oneof(days, fc.constant('unknown')),
      from: fc.oneof(days, fc.constant('when-given'), fc.constant('unknown')),
      until: fc.oneof(days, fc.constant('open'), fc.constant('unknown')),
    }) as fc.Arbitrary<Partial<ConsentOnRecord>>
    fc.assert(
      fc.property(
        fc.constantFrom('hipaa', 'part-c', 'ferpa', 'unknown'),
        fc.array(some.map(consent), { maxLength: 4 }),
        days,
        days,
        (regime, consents, start, on) => {
          fc.pre(start <= on)
          const closed = closedDays(regime, consents, start).some(
            ({ first, last }) => first <= on && (last === 'open' || on <= last),
          )
          const { holds } = releaseGate({ regime, purpose: 'treatment' }, consents, on)
          expect(closed).toBe(holds === 'no')
        },
      ),
    )
  })
})
