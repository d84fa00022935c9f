import { expect, test } from 'vitest'
import { calfRemark, fixedCalf, tightCalf } from '../../../src/domain/foot/ankle-range.ts'
import { speaker } from '../../../src/domain/messages/speaker.ts'
import { degrees } from '../../../src/domain/units.ts'
import { fact, foot } from '../../helpers/child.ts'
import { faultsInVoices } from '../../helpers/every-voice.ts'
import { RULES } from '../../helpers/rules.ts'

const limits = RULES.posture
const en = speaker('en')
const remarkOf = (of: ReturnType<typeof foot>) =>
  calfRemark(of, limits)
    .map((remark) => en.therapist(remark))
    .join(' ')
const straight = (value: number) => foot({ ankleDorsiflexion: fact(degrees(value)) })
const both = (value: number, bent: number) =>
  foot({
    ankleDorsiflexion: fact(degrees(value)),
    ankleDorsiflexionKneeBent: fact(degrees(bent)),
  })

test('a calf is tight below 10 degrees with the knee straight', () => {
  expect(tightCalf('left', straight(9.9), limits).holds).toBe('yes')
  expect(tightCalf('left', straight(10), limits).holds).toBe('no')
  expect(tightCalf('left', foot(), limits).holds).toBe('unknown')
})

test('the tight calf rests on the published tests, the fixed one on memory, both on the record', () => {
  const both = [tightCalf('left', straight(5), limits), fixedCalf('left', straight(5), limits)]
  const unknown = [tightCalf('right', foot(), limits), fixedCalf('right', foot(), limits)]

  expect(both.map(({ rule, sources, evidence }) => [rule, sources, evidence])).toEqual([
    ['tight-calf.left', ['flexibility-tests'], ['Observation/a/_history/1']],
    ['fixed-calf.left', ['memory'], ['Observation/a/_history/1']],
  ])
  expect(unknown.map(({ rule, sources, evidence }) => [rule, sources, evidence])).toEqual([
    ['tight-calf.right', ['flexibility-tests'], []],
    ['fixed-calf.right', ['memory'], []],
  ])
})

test('a calf is fixed when the ankle does not reach neutral with the knee straight', () => {
  expect(fixedCalf('right', straight(-0.1), limits)).toMatchObject({
    rule: 'fixed-calf.right',
    holds: 'yes',
    evidence: ['Observation/a/_history/1'],
  })
  expect(fixedCalf('right', straight(0), limits).holds).toBe('no')
  expect(fixedCalf('right', foot(), limits).holds).toBe('unknown')
})

test('the bent knee alone decides nothing; short of neutral it asks for the straight knee', () => {
  const bent = foot({ ankleDorsiflexionKneeBent: fact(degrees(-1)) })

  expect(fixedCalf('left', bent, limits).holds).toBe('unknown')
  expect(remarkOf(bent)).toMatch(/measure with the knee straight/)
  expect(calfRemark(foot({ ankleDorsiflexionKneeBent: fact(degrees(0)) }), limits)).toEqual([])
})

test('the remark tells which muscle is short, and only when the knee straight is short', () => {
  expect(remarkOf(both(5, 10))).toMatch(/gastrocnemius/)
  expect(remarkOf(both(5, 9.9))).toMatch(/Achilles/)
  expect(remarkOf(both(5, -1))).toMatch(/Achilles/)
  expect(calfRemark(both(10, 12), limits)).toEqual([])
  expect(calfRemark(straight(5), limits)).toEqual([])
})

test('the sentence has side, value and limit for the therapist, and plain words for the family', () => {
  const tight = tightCalf('left', straight(9.5), limits).because

  expect(en.therapist(tight)).toBe(
    'Tight calf: passive dorsiflexion of the left ankle, knee straight, 9.5°, under the limit of 10°.',
  )
  expect(en.family(tight)).toBe(
    "Your child's left foot bends up less at the ankle than we expect, so the calf may be tight. Your therapist will look at this with you.",
  )
  expect(speaker('es').therapist(tight)).toBe(
    'Pantorrilla tensa: dorsiflexión pasiva del tobillo izquierdo, rodilla extendida, 9,5°, por debajo del límite de 10°.',
  )
})

test('every outcome is said in both languages to both readers', () => {
  const feet = [straight(-5), straight(5), straight(20), foot()]
  const bent = foot({ ankleDorsiflexionKneeBent: fact(degrees(-1)) })

  const findings = feet.flatMap((of) => [
    tightCalf('left', of, limits),
    fixedCalf('right', of, limits),
  ])
  const remarks = [bent, both(5, 10), both(5, 5)].flatMap((of) => calfRemark(of, limits))

  expect(faultsInVoices([...findings.map(({ because }) => because), ...remarks])).toEqual([])
})
