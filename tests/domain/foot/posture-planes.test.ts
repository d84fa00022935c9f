import { expect, test } from 'vitest'
import type { Foot } from '../../../src/domain/child.ts'
import type { Plane } from '../../../src/domain/foot/posture.ts'
import { planesOf } from '../../../src/domain/foot/posture-planes.ts'
import { speaker } from '../../../src/domain/messages/speaker.ts'
import { degrees, millimetres, months } from '../../../src/domain/units.ts'
import { fact, foot } from '../../helpers/child.ts'
import { RULES } from '../../helpers/rules.ts'

const en = speaker('en')
const look = (plane: Plane, known: Partial<Foot>, age = 20) => {
  const { planes, remarks } = planesOf(foot(known), months(age), RULES.posture)
  const found = planes.find((one) => one.plane === plane)
  return { holds: found?.finding.holds, marked: found?.marked, measure: found?.measure, remarks }
}

test('every plane is unknown when nothing is recorded', () => {
  const { planes, remarks } = planesOf(foot(), months(20), RULES.posture)

  expect(
    planes.map(({ plane, finding, marked, measure }) => [plane, finding.holds, marked, measure]),
  ).toEqual([
    ['coronal', 'unknown', 'unknown', undefined],
    ['sagittal', 'unknown', 'unknown', undefined],
    ['transverse', 'unknown', 'unknown', undefined],
  ])
  expect(remarks).toEqual([])
})

const ITEMS: [Plane, 3 | 6, string][] = [
  ['coronal', 3, 'fpi-item-3'],
  ['transverse', 6, 'fpi-item-6'],
]
for (const [plane, item, measure] of ITEMS)
  test(`${plane}: FPI item ${item} is met from +1 and marked from +2`, () => {
    const at = (score: number) => {
      const { remarks: _, ...found } = look(plane, { fpi: fact({ [item]: score }) })
      return found
    }

    expect(at(0)).toEqual({ holds: 'no', marked: 'no', measure })
    expect(at(1)).toEqual({ holds: 'yes', marked: 'no', measure })
    expect(at(2)).toEqual({ holds: 'yes', marked: 'yes', measure })
    expect(look(plane, { fpi: fact({ 1: 2 }) }).holds).toBe('unknown')
  })

test('coronal: resting heel eversion is met above 5 and marked above 10 degrees', () => {
  const at = (value: number) => {
    const { holds, marked } = look('coronal', { heelEversion: fact(degrees(value)) })
    return [holds, marked]
  }

  expect(at(5)).toEqual(['no', 'no'])
  expect(at(5.1)).toEqual(['yes', 'no'])
  expect(at(10)).toEqual(['yes', 'no'])
  expect(at(10.1)).toEqual(['yes', 'yes'])
})

test('coronal: the FPI item decides before degrees, and a disagreement is said', () => {
  const found = look('coronal', { fpi: fact({ 3: 0 }), heelEversion: fact(degrees(9)) })

  expect([found.holds, found.measure]).toEqual(['no', 'fpi-item-3'])
  expect(found.remarks).toHaveLength(1)
  expect(found.remarks.map((remark) => en.therapist(remark))).toEqual([
    'The measures of the coronal plane disagree; the first one is used. Foot Posture Index: item 3 at 0, not met below +1. Resting heel eversion 9°, met above 5°.',
  ])
})

test('coronal: measures that agree need no remark', () => {
  expect(look('coronal', { fpi: fact({ 3: 1 }), heelEversion: fact(degrees(9)) }).remarks).toEqual(
    [],
  )
})

test('sagittal: met when either item 4 or item 5 is, not met only when both are known', () => {
  const at = (items: Record<number, number>) => look('sagittal', { fpi: fact(items) }).holds

  expect(at({ 4: 1, 5: 0 })).toBe('yes')
  expect(at({ 4: 0, 5: 1 })).toBe('yes')
  expect(at({ 5: 1 })).toBe('yes')
  expect(at({ 4: 0, 5: 0 })).toBe('no')
  expect(at({ 4: 0 })).toBe('unknown')
  expect(at({ 5: 0 })).toBe('unknown')
})

test('sagittal: marked when either item is at +2, open while one of them is not judged', () => {
  const at = (items: Record<number, number>) => look('sagittal', { fpi: fact(items) }).marked

  expect(at({ 4: 2 })).toBe('yes')
  expect(at({ 4: 1, 5: 1 })).toBe('no')
  expect(at({ 4: 1 })).toBe('unknown')
})

test('sagittal: navicular drop is met above 10 and marked above 15 mm', () => {
  const at = (value: number) => {
    const { holds, marked } = look('sagittal', { navicularDrop: fact(millimetres(value)) })
    return [holds, marked]
  }

  expect(at(10)).toEqual(['no', 'no'])
  expect(at(10.5)).toEqual(['yes', 'no'])
  expect(at(15)).toEqual(['yes', 'no'])
  expect(at(15.5)).toEqual(['yes', 'yes'])
})

/** Banwell, J Foot Ankle Res 2018;11:21: age in months, value, flat or not. */
const STAHELI: [number, number, string][] = [
  [35.9, 1.5, 'unknown'],
  [36, 1.07, 'no'],
  [36, 1.08, 'yes'],
  [71.9, 1.08, 'yes'],
  [72, 1.27, 'no'],
  [72, 1.28, 'yes'],
  [107.9, 1.28, 'yes'],
  [108, 1.5, 'unknown'],
]
for (const [age, value, expected] of STAHELI)
  test(`sagittal: a Staheli index of ${value} at ${age} months is met: ${expected}`, () => {
    expect(look('sagittal', { staheliIndex: fact(value) }, age).holds).toBe(expected)
  })

const CHIPPAUX: [number, number, string][] = [
  [35.9, 70, 'unknown'],
  [36, 62.7, 'no'],
  [36, 62.8, 'yes'],
  [83.9, 62.7, 'no'],
  [84, 59, 'no'],
  [84, 59.1, 'yes'],
  [108, 70, 'unknown'],
]
for (const [age, value, expected] of CHIPPAUX)
  test(`sagittal: a Chippaux-Smirak index of ${value} % at ${age} months is met: ${expected}`, () => {
    expect(look('sagittal', { chippauxSmirakPercent: fact(value) }, age).holds).toBe(expected)
  })

test('sagittal: a footprint index that is flat cannot be graded; another measure may grade it', () => {
  const index = { staheliIndex: fact(1.2) }

  expect(look('sagittal', index, 48).marked).toBe('unknown')
  expect(look('sagittal', { ...index, navicularDrop: fact(millimetres(16)) }, 48).marked).toBe(
    'yes',
  )
})

test('sagittal: items, then a footprint index, then navicular drop decide', () => {
  const drop = { navicularDrop: fact(millimetres(12)) }
  const index = { ...drop, staheliIndex: fact(1) }
  const items = { ...index, fpi: fact({ 4: 1 }) }

  expect(look('sagittal', drop, 48).measure).toBe('navicular-drop')
  expect(look('sagittal', index, 48).measure).toBe('staheli-index')
  expect(look('sagittal', items, 48).measure).toBe('fpi-items-4-5')
  expect(look('sagittal', { ...index, fpi: fact({ 4: 0 }) }, 48).measure).toBe('staheli-index')
})

test('a plane names its rule, its source and the record it was read from', () => {
  const { planes } = planesOf(foot({ fpi: fact({ 6: 1 }) }), months(20), RULES.posture)

  expect(planes[2]?.finding).toMatchObject({
    rule: 'excessive-pronation.transverse',
    sources: ['fpi-redmond-2006', 'judgement'],
    evidence: ['Observation/a/_history/1'],
  })
})

test('heel eversion and a Chippaux-Smirak index that decide are named', () => {
  const heel = look('coronal', { heelEversion: fact(degrees(9)) })
  const footprint = look('sagittal', { chippauxSmirakPercent: fact(70) }, 48)

  expect([heel.measure, footprint.measure]).toEqual([
    'resting-heel-eversion',
    'chippaux-smirak-index',
  ])
})

test('a footprint index that is not flat is not marked either', () => {
  expect(look('sagittal', { staheliIndex: fact(1) }, 48).marked).toBe('no')
})

test('a measure that does not decide disagrees with none', () => {
  const found = look('sagittal', { fpi: fact({ 4: 0 }), navicularDrop: fact(millimetres(12)) })

  expect([found.holds, found.measure]).toEqual(['yes', 'navicular-drop'])
  expect(found.remarks).toEqual([])
})

test('measures that disagree are remarked on without the one that does not decide', () => {
  const { remarks } = look(
    'sagittal',
    { fpi: fact({ 4: 0 }), staheliIndex: fact(1), navicularDrop: fact(millimetres(12)) },
    48,
  )

  expect(remarks.map((remark) => en.therapist(remark))).toEqual([
    'The measures of the sagittal plane disagree; the first one is used. Staheli index 1, not flat; flat is above 1.07 at 3-6 years. Navicular drop 12 mm, met above 10 mm (an adult convention).',
  ])
})
