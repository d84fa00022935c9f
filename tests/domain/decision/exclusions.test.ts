import { expect, test } from 'vitest'
import { civilDate } from '../../../src/domain/calendar.ts'
import type { AshworthGrade, Child, Tone } from '../../../src/domain/child.ts'
import { raisedTone, skinOrSensation } from '../../../src/domain/decision/exclusions.ts'
import { child, fact, foot } from '../../helpers/child.ts'
import { RULES } from '../../helpers/rules.ts'

interface Looked {
  readonly tone?: Tone
  readonly left?: AshworthGrade
  readonly right?: AshworthGrade
  readonly coded?: boolean
  readonly otherPalsy?: boolean
  readonly disputed?: 'left' | 'right'
}
const raised = ({ tone, left, right, coded, otherPalsy, disputed }: Looked) => {
  const calf = (grade?: AshworthGrade) =>
    foot(grade === undefined ? {} : { ashworthCalf: fact(grade) })
  const of: Partial<Child> = {
    feet: { left: calf(left), right: calf(right) },
    ...(tone !== undefined && { tone: fact(tone) }),
    ...(coded === true && { diagnoses: { 'spastic-cerebral-palsy': fact(true) } }),
    ...(otherPalsy === true && { diagnoses: { 'cerebral-palsy': fact(true) } }),
    ...(disputed !== undefined && {
      contradictions: [
        { fact: `ashworthCalf.${disputed}`, on: civilDate('2026-03-01'), evidence: [] },
      ],
    }),
  }
  return raisedTone({ child: child(of) }, RULES.suitability).holds
}

const GRADES: [AshworthGrade, string][] = [
  ['0', 'no'],
  ['1', 'no'],
  ['1+', 'yes'],
  ['2', 'yes'],
  ['3', 'yes'],
  ['4', 'yes'],
]
for (const [grade, expected] of GRADES)
  test(`calves graded Ashworth ${grade}: raised tone ${expected}`, () => {
    expect(raised({ left: grade, right: grade })).toBe(expected)
  })

test('one calf at the limit is enough, even against an observation of low tone', () => {
  expect(raised({ left: '0', right: '1+' })).toBe('yes')
  expect(raised({ right: '2' })).toBe('yes')
  expect(raised({ tone: 'low', left: '2' })).toBe('yes')
})

test('spastic cerebral palsy coded is enough', () => {
  expect(raised({ coded: true })).toBe('yes')
  expect(raised({ coded: true, tone: 'low', left: '0', right: '0' })).toBe('yes')
})

test('tone observed low or normal answers it', () => {
  expect(raised({ tone: 'low' })).toBe('no')
  expect(raised({ tone: 'normal' })).toBe('no')
})

test('general tone does not stand in for the calf that was not graded beside the other', () => {
  expect(raised({ tone: 'normal', left: '1' })).toBe('unknown')
  expect(raised({ tone: 'normal', left: '1', right: '1' })).toBe('no')
})

test('grades of one calf that contradict each other are not outweighed by low tone', () => {
  expect(raised({ tone: 'low', disputed: 'left' })).toBe('unknown')
  expect(raised({ tone: 'low', disputed: 'left', right: '0' })).toBe('unknown')
  expect(raised({ tone: 'low', disputed: 'left', right: '2' })).toBe('yes')
})

test('cerebral palsy of another or no stated type asks for both calves', () => {
  expect(raised({ otherPalsy: true, tone: 'low' })).toBe('unknown')
  expect(raised({ otherPalsy: true, tone: 'low', left: '0', right: '1' })).toBe('no')
  expect(raised({ otherPalsy: true, right: '1+' })).toBe('yes')
})

test('raised tone nobody looked for is unknown, not absent', () => {
  expect(raised({})).toBe('unknown')
  expect(raised({ left: '0' })).toBe('unknown')
  expect(raised({ tone: 'raised' })).toBe('unknown')
  expect(raised({ tone: 'raised', left: '0' })).toBe('unknown')
  expect(raised({ tone: 'raised', left: '0', right: '1' })).toBe('no')
})

type Seen = boolean | undefined
const record = (seen: Seen) => (seen === undefined ? 'unknown' : fact(seen))
const skin = (openSkin: Seen, insensate: Seen) => {
  const of = foot({ openSkin: record(openSkin), insensate: record(insensate) })
  return skinOrSensation('left', { child: child({ feet: { left: of, right: foot() } }) })
}

const SKIN: [Seen, Seen, string][] = [
  [undefined, undefined, 'unknown'],
  [false, undefined, 'unknown'],
  [undefined, false, 'unknown'],
  [false, false, 'no'],
  [true, undefined, 'yes'],
  [undefined, true, 'yes'],
  [true, false, 'yes'],
  [false, true, 'yes'],
]
for (const [openSkin, insensate, expected] of SKIN)
  test(`open skin ${openSkin}, without feeling ${insensate}: ${expected}`, () => {
    expect(skin(openSkin, insensate)).toMatchObject({
      rule: 'skin-or-sensation.left',
      holds: expected,
    })
  })

test('the sentence tells what was looked for and what was not recorded', () => {
  expect(skin(false, undefined).because).toBe(
    'Left foot: open skin looked for and not there; loss of feeling not recorded',
  )
})
