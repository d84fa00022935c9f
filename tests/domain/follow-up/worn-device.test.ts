import { expect, test } from 'vitest'
import { signAt, STOP_SIGNS, stopSign } from '../../../src/domain/follow-up/worn-device.ts'
import { together } from '../../../src/domain/messages/message.ts'
import { speaker } from '../../../src/domain/messages/speaker.ts'
import { faultsInVoices } from '../../helpers/every-voice.ts'
import { AS_OF } from '../../helpers/plans.ts'
import { RULES } from '../../helpers/rules.ts'
import { DELIVERED, daysBefore, sign, worn } from '../../helpers/visits.ts'

const en = speaker('en')
const NOTHING = together([])

const DAYS = { deliveredOn: DELIVERED, asOf: AS_OF }
const at = (recorded: Parameters<typeof signAt>[0]) => signAt(recorded, DAYS, RULES)
const of = (signs: Parameters<typeof worn>[0] = {}) => stopSign(worn(signs), DAYS, RULES)

test('a sign seen since the delivery stays until it is recorded as gone', () => {
  expect(at(sign(true))).toBe('yes')
  expect(at(sign(true, 84))).toBe('yes')
  expect(at(sign(true, 85))).toBe('unknown')
})

test('a sign counts from the delivery of its own device, however late the other one came', () => {
  const signs = { blister: sign(true, 10) }
  const later = { deliveredOn: daysBefore(3), asOf: AS_OF }

  expect(stopSign(worn(signs, { deliveredOn: DELIVERED }), later, RULES).holds).toBe('yes')
  expect(stopSign(worn(signs, { deliveredOn: daysBefore(3) }), later, RULES).holds).toBe('unknown')
})

test('not seen counts from 14 days before the visit', () => {
  expect(at(sign(false))).toBe('no')
  expect(at(sign(false, 14))).toBe('no')
  expect(at(sign(false, 15))).toBe('unknown')
})

test('what nobody recorded, or only after the visit, is unknown', () => {
  expect(at('unknown')).toBe('unknown')
  expect(at(sign(true, -1))).toBe('unknown')
  expect(at(sign(false, -1))).toBe('unknown')
})

test('without any sign the device may stay on', () => {
  expect(of()).toMatchObject({ rule: 'stop-sign.left', holds: 'no' })
  expect(of().wording).toBeUndefined()
})

for (const name of STOP_SIGNS) {
  test(`${name}: off and call, in both voices`, () => {
    const found = of({ [name]: sign(true) })

    expect(found.holds).toBe('yes')
    expect(en.therapist(found.because)).toBe(`Left: seen: ${name.replaceAll('-', ' ')}.`)
    expect(en.therapist(found.wording ?? NOTHING)).toContain(name.replaceAll('-', ' '))
    expect(en.family(found.wording ?? NOTHING)).toBe(
      'Please leave the support for the left foot off and call us.',
    )
  })

  test(`${name} not looked for: unknown, and asked for`, () => {
    const found = of({ [name]: 'unknown' })

    expect(found).toMatchObject({ holds: 'unknown' })
    expect(en.therapist(found.because)).toBe(`Left: not looked for: ${name.replaceAll('-', ' ')}.`)
    expect(en.family(found.wording ?? NOTHING)).toContain('skin of the left foot')
  })
}

test('the leaflets name the signs', () => {
  for (const signs of [{}, { pain: sign(true) }, { pain: 'unknown' }] as const)
    expect(of(signs).sources).toEqual(['orthosis-leaflets'])
})

test('one sign is enough although others were not looked for', () => {
  expect(of({ blister: sign(true), pain: 'unknown' }).holds).toBe('yes')
})

test('the evidence is that of every sign, once', () => {
  expect(of({ pain: sign(true, 3), rash: 'unknown' }).evidence).toEqual([
    'Observation/sign-false-0/_history/1',
    'Observation/sign-true-3/_history/1',
  ])
})

test('every outcome is said in every voice', () => {
  const found = [
    of(),
    of({ pain: 'unknown', rash: 'unknown' }),
    ...STOP_SIGNS.map((name) => of({ [name]: sign(true) })),
  ]

  expect(faultsInVoices(found.map(({ because }) => because))).toEqual([])
  expect(faultsInVoices(found.flatMap(({ wording }) => wording ?? []))).toEqual([])
  expect(speaker('es').therapist(of({ pain: sign(true), rash: sign(true) }).because)).toBe(
    'Pie izquierdo: visto: dolor y erupción.',
  )
})
