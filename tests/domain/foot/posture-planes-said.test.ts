import { expect, test } from 'vitest'
import type { Foot } from '../../../src/domain/child.ts'
import { planesOf } from '../../../src/domain/foot/posture-planes.ts'
import { speaker } from '../../../src/domain/messages/speaker.ts'
import { degrees, millimetres, months } from '../../../src/domain/units.ts'
import { fact, foot } from '../../helpers/child.ts'
import { faultsInVoices } from '../../helpers/every-voice.ts'
import { RULES } from '../../helpers/rules.ts'

const en = speaker('en')
const saidOf = (known: Partial<Foot>, age = 20) => {
  const { planes, remarks } = planesOf(foot(known), months(age), RULES.posture)
  return [...planes.map(({ finding }) => finding.because), ...remarks]
}
const therapist = (plane: 0 | 1 | 2, known: Partial<Foot>, age = 20) =>
  saidOf(known, age)
    .slice(plane, plane + 1)
    .map((message) => en.therapist(message))
    .join('')

test('the sentence of a plane is that of the measure that decides, with its limit', () => {
  expect(therapist(0, { heelEversion: fact(degrees(6.25)) })).toBe(
    'Resting heel eversion 6.3°, met above 5°.',
  )
  expect(therapist(0, { heelEversion: fact(degrees(-4)) })).toBe(
    'Resting heel inversion 4°; eversion is met above 5°.',
  )
  expect(therapist(0, { heelEversion: fact(degrees(0)) })).toBe(
    'Resting heel eversion 0°, met above 5°.',
  )
  expect(therapist(1, { fpi: fact({ 4: 2, 5: -1 }) })).toBe(
    'Foot Posture Index: item 4 at +2 and item 5 at -1, met from +1.',
  )
  expect(therapist(1, { navicularDrop: fact(millimetres(12)) })).toBe(
    'Navicular drop 12 mm, met above 10 mm (an adult convention).',
  )
  // Banwell 2018: above 1.07 at 3-6 years, at or above 1.28 at 6-9; Chippaux-Smirak above 62.7 %.
  expect(therapist(1, { staheliIndex: fact(1.08) }, 48)).toBe(
    'Staheli index 1.08, flat: above 1.07 at 3-6 years.',
  )
  expect(therapist(1, { staheliIndex: fact(1.27) }, 72)).toBe(
    'Staheli index 1.27, not flat; flat is at or above 1.28 at 6-9 years.',
  )
  expect(therapist(1, { chippauxSmirakPercent: fact(63) }, 48)).toBe(
    'Chippaux-Smirak index 63 %, flat: above 62.7 % at 3-7 years.',
  )
})

test('what does not decide is said as not known, with what is recorded', () => {
  const [, sagittal = { all: [] }] = saidOf({ fpi: fact({ 4: 0 }) })

  expect(en.therapist(sagittal)).toBe(
    'What is on record does not decide, sagittal plane. Foot Posture Index: item 4 at 0 and item 5 not judged, not decided, met from +1.',
  )
  expect(en.family(sagittal)).toBe(
    'What is written down does not tell us yet how this part of the foot stands: the arch. By eye this part of the foot was not fully looked at, so we do not know yet: the arch.',
  )
  expect(speaker('es').family(sagittal)).toContain('todavía no lo sabemos: el arco.')
})

test('every outcome is said in both languages to both readers', () => {
  const feet: Partial<Foot>[] = [
    {},
    { fpi: fact({ 3: 1, 4: 1, 6: 1 }), heelEversion: fact(degrees(2)) },
    { fpi: fact({ 3: 0, 4: 0, 5: 0, 6: -2 }), navicularDrop: fact(millimetres(12)) },
    { fpi: fact({ 4: 0 }) },
    { heelEversion: fact(degrees(-3)), navicularDrop: fact(millimetres(5)) },
    { staheliIndex: fact(1.2) },
    { staheliIndex: fact(1) },
    { chippauxSmirakPercent: fact(70) },
    { chippauxSmirakPercent: fact(40) },
  ]

  expect(faultsInVoices(feet.flatMap((known) => [...saidOf(known), ...saidOf(known, 80)]))).toEqual(
    [],
  )
})

test('a plane of which nothing is recorded is not called undecided', () => {
  expect(therapist(2, {})).toBe('No measure that can decide is on record, transverse plane.')
})

const findingOf = (plane: 0 | 1 | 2, known: Partial<Foot>, age = 48) =>
  planesOf(foot(known), months(age), RULES.posture).planes[plane]?.finding

test('each measure names its source and the record it was read from', () => {
  const on = '2026-03-01'
  const heel = { heelEversion: fact(degrees(6), on, 'Observation/heel/_history/1') }
  const index = { staheliIndex: fact(1.2, on, 'Observation/print/_history/1') }
  const drop = { navicularDrop: fact(millimetres(12), on, 'Observation/drop/_history/1') }

  expect(findingOf(0, heel)).toMatchObject({
    sources: ['fpi-redmond-2006', 'judgement'],
    evidence: ['Observation/heel/_history/1'],
  })
  expect(findingOf(1, index)).toMatchObject({
    sources: ['banwell-2018'],
    evidence: ['Observation/print/_history/1'],
  })
  expect(findingOf(1, drop)).toMatchObject({
    sources: ['memory'],
    evidence: ['Observation/drop/_history/1'],
  })
})

test('a plane that nothing decides is a judgement, from every record that was looked at', () => {
  expect(findingOf(1, { fpi: fact({ 4: 0 }) })).toMatchObject({
    rule: 'excessive-pronation.sagittal',
    holds: 'unknown',
    sources: ['judgement'],
    evidence: ['Observation/a/_history/1'],
  })
  expect(findingOf(1, {})).toMatchObject({ sources: ['judgement'], evidence: [] })
})
