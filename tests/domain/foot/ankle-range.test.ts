import { expect, test } from 'vitest'
import { calfRemark, fixedCalf, tightCalf } from '../../../src/domain/foot/ankle-range.ts'
import { degrees } from '../../../src/domain/units.ts'
import { fact, foot } from '../../helpers/child.ts'
import { RULES } from '../../helpers/rules.ts'

const limits = RULES.posture
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
  expect(calfRemark(bent, limits)[0]).toMatch(/measure with the knee straight/)
  expect(calfRemark(foot({ ankleDorsiflexionKneeBent: fact(degrees(0)) }), limits)).toEqual([])
})

test('the remark tells which muscle is short, and only when the knee straight is short', () => {
  expect(calfRemark(both(5, 10), limits)[0]).toMatch(/gastrocnemius/)
  expect(calfRemark(both(5, 9.9), limits)[0]).toMatch(/Achilles/)
  expect(calfRemark(both(10, 12), limits)).toEqual([])
  expect(calfRemark(straight(5), limits)).toEqual([])
})
