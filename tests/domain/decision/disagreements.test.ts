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
import { speaker } from '../../../src/domain/messages/speaker.ts'
import { faultsInVoices } from '../../helpers/every-voice.ts'

const english = speaker('en')
const spanish = speaker('es')

const records = ['Observation/a/_history/1', 'Observation/b/_history/1'].map(evidenceRef)
const disputed = child({
  feet: { left: foot({ insensate: fact(false) }), right: foot() },
  contradictions: [{ fact: 'openSkin.left', on: civilDate('2026-03-01'), evidence: records }],
})

test('two records of a day that disagree are said in words, with the day and the foot', () => {
  const said = disagreements(disputed)

  expect(said.map(english.therapist)).toEqual([
    'Two records of March 1, 2026 disagree on open skin, left foot: it is taken as not known.',
  ])
  expect(said.map(english.family)[0]).toMatch(/please have it checked again/)
  expect(said.map(spanish.therapist)).toEqual([
    'Dos registros del 1 de marzo de 2026 no coinciden en piel abierta, pie izquierdo: se toma como no conocido.',
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
  expect(english.therapist(found.because)).toContain('open skin recorded both ways')
  expect(english.therapist(found.because)).not.toContain('open skin not recorded')
  expect(faultsInVoices([found.because])).toEqual([])
})

test('a fact of the child as a whole is said without a foot, one without a term as an entry', () => {
  const on = civilDate('2026-03-01')
  const of = ['tone', 'habitual-w-sitting', 'hand-preference', 'shoeColour'].map((name) => ({
    fact: name,
    on,
    evidence: records,
  }))
  const said = disagreements(child({ contradictions: of }))

  expect(said.map(english.therapist)).toEqual([
    'Two records of March 1, 2026 disagree on muscle tone: it is taken as not known.',
    'Two records of March 1, 2026 disagree on habitual W-sitting: it is taken as not known.',
    'Two records of March 1, 2026 disagree on hand preference: it is taken as not known.',
    'Two records of March 1, 2026 disagree on an entry of the record: it is taken as not known.',
  ])
  expect(faultsInVoices([...said, ...disagreements(disputed)])).toEqual([])
})
