import { expect, test } from 'vitest'
import { civilDate } from '../../../src/domain/calendar.ts'
import {
  supposedGestation,
  supposedOfFoot,
  supposedRedFlag,
  supposedReview,
  supposedSign,
  supposedSkill,
  supposedTone,
  supposedUncoded,
  supposedZ,
} from '../../../src/domain/decision/supposed-fact.ts'
import { child, fact } from '../../helpers/child.ts'

const ON = civilDate('2026-03-05')

test('each supposed fact stands in the record under its name, of that day', () => {
  const record = [
    supposedTone('low'),
    supposedZ(-2),
    supposedGestation(196),
    supposedReview(true),
    supposedSign('motor-concern', true),
    supposedRedFlag('gowers-sign', false),
    supposedOfFoot('right', 'ashworthCalf', '1+'),
  ].reduce((known, one) => one.put(known, ON), child())

  expect(record.tone).toMatchObject({ value: 'low', on: ON })
  expect(record.standardised).toMatchObject({ value: { kind: 'z-score', z: -2 }, on: ON })
  expect(record.gestationDays).toMatchObject({ value: 196, on: ON })
  expect(record.medicalReview).toMatchObject({ value: true, on: ON })
  expect(record.signs['motor-concern']).toMatchObject({ value: true, on: ON })
  expect(record.redFlags['gowers-sign']).toMatchObject({ value: false, on: ON })
  expect(record.feet.right.ashworthCalf).toMatchObject({ value: '1+', on: ON })
  expect(record.feet.left).toEqual(child().feet.left)
})

test('a condition that is not coded after all is gone, another stays', () => {
  const coded = child({ diagnoses: { hypotonia: fact(true), 'down-syndrome': fact(true) } })
  const record = supposedUncoded('hypotonia').put(coded, ON)

  expect(Object.keys(record.diagnoses)).toEqual(['down-syndrome'])
})

test('a supposed skill leaves the looks on record as they are', () => {
  const record = child()

  expect(supposedSkill('milestoneChecks.walking-alone', true).put(record, ON)).toBe(record)
})
