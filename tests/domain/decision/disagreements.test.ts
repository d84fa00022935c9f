import { expect, test } from 'vitest'
import {
  disagreements,
  disputedEvidence,
  isDisputed,
} from '../../../src/domain/decision/disagreements.ts'
import { civilDate } from '../../../src/domain/calendar.ts'
import { evidenceRef } from '../../../src/domain/facts.ts'
import { skinOrSensation } from '../../../src/domain/decision/exclusions.ts'
import { child, fact, foot } from '../../helpers/child.ts'

const records = ['Observation/a/_history/1', 'Observation/b/_history/1'].map(evidenceRef)
const disputed = child({
  feet: { left: foot({ insensate: fact(false) }), right: foot() },
  contradictions: [{ fact: 'openSkin.left', on: civilDate('2026-03-01'), evidence: records }],
})

test('two records of a day that disagree are said in words, with the day and the foot', () => {
  expect(disagreements(disputed)).toEqual([
    'Two records of 2026-03-01 disagree on open skin, left foot: it is taken as not known',
  ])
  expect(disagreements(child())).toEqual([])
})

test('both records are the evidence', () => {
  expect(disputedEvidence(disputed)).toEqual(records)
})

test('the fact of one foot is disputed, that of the other is not', () => {
  expect(isDisputed(disputed, 'openSkin.left')).toBe(true)
  expect(isDisputed(disputed, 'openSkin.right')).toBe(false)
})

test('skin recorded both ways is unknown, and not said to be unrecorded', () => {
  const found = skinOrSensation('left', { child: disputed })

  expect(found.holds).toBe('unknown')
  expect(found.because).toContain('open skin recorded both ways')
  expect(found.because).not.toContain('open skin not recorded')
})
