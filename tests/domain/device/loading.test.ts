import { expect, test } from 'vitest'
import type { Dimension, Measurement } from '../../../src/domain/child.ts'
import { asLoaded } from '../../../src/domain/device/loading.ts'
import { speaker } from '../../../src/domain/messages/speaker.ts'
import { CHENG_1997 } from '../../../src/domain/tables/cheng-1997.ts'
import { faultsInVoices } from '../../helpers/every-voice.ts'
import { taken } from '../../helpers/plans.ts'
import { RULES } from '../../helpers/rules.ts'

const loaded = (dimension: Dimension, loading: Measurement['loading'], mm = 100) =>
  asLoaded(`${dimension}.left`, dimension, taken(mm, '2026-03-01', loading), RULES)

test('the table holds the gain of 3.1 to 4.8 %, as published', () => {
  expect(CHENG_1997.gainPercent).toEqual({ low: 3.1, high: 4.8 })
  expect(CHENG_1997.gainMm).toEqual({ low: 2.1, high: 4.4 })
})

for (const dimension of ['foot-length', 'forefoot-breadth'] as const) {
  test(`an unloaded ${dimension} of 100 mm counts as 103.95 mm, with a warning`, () => {
    const { measure, warnings } = loaded(dimension, 'unloaded')

    expect(Number(measure.mm)).toBeCloseTo(103.95, 6)
    expect(warnings).toMatchObject([
      { rule: `unloaded-correction.${dimension}.left`, holds: 'yes', sources: ['cheng-1997'] },
    ])
  })
}

test('a loaded measurement is used as it is, without a word', () => {
  expect(loaded('foot-length', 'loaded').measure.mm).toBe(100)
  expect(loaded('foot-length', 'loaded').warnings).toEqual([])
})

test('a loading that is not on record is not taken for loaded', () => {
  const { measure, warnings } = loaded('foot-length', 'unknown')

  expect(measure.mm).toBe(100)
  expect(warnings).toMatchObject([{ rule: 'loading-unknown.foot-length.left', holds: 'unknown' }])
})

test('nothing is published for the landmarks: used as they are, with a warning', () => {
  const { measure, warnings } = loaded('heel-to-first-metatarsal-head', 'unloaded')

  expect(measure.mm).toBe(100)
  expect(warnings[0]?.rule).toBe('unloaded-uncorrected.heel-to-first-metatarsal-head.left')
})

test('loading does not matter to the ankle', () => {
  expect(loaded('ankle-circumference', 'unloaded').warnings).toEqual([])
  expect(loaded('ankle-circumference', 'unknown').warnings).toEqual([])
})

test('a value at the end of the unit is still answered', () => {
  expect(loaded('foot-length', 'unloaded', 1000).measure.mm).toBe(1000)
})

test('the correction says how much was added and what it made of the value', () => {
  const [warning] = loaded('foot-length', 'unloaded', 118).warnings

  // Cheng 1997: 3.1 to 4.8 %, the middle 3.95 %; 118 mm and 3.95 % are 122.7 mm.
  expect(warning && speaker('en').therapist(warning.because)).toBe(
    'Measured unloaded: 3.95 % added, the middle of 3.1 to 4.8 %, published for children from 3 years; 118 mm becomes 122.7 mm: foot length.',
  )
  expect(warning && speaker('es').family(warning.because)).toBe(
    'Esto se midió sin peso en el pie, así que añadimos un poco, porque el pie se ensancha al estar de pie: largo del pie, ahora 122,7 mm. Es mejor medirlo con su hijo o hija de pie.',
  )
})

test('every outcome is said in both languages to both readers', () => {
  const warnings = [
    loaded('foot-length', 'unloaded'),
    loaded('foot-length', 'unknown'),
    loaded('heel-to-fifth-toe-sulcus', 'unloaded'),
  ].flatMap((one) => one.warnings)

  expect(warnings).toHaveLength(3)
  expect(faultsInVoices(warnings.map(({ because }) => because))).toEqual([])
})
