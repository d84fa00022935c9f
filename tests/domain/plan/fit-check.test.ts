import { expect, test } from 'vitest'
import { fitCheck } from '../../../src/domain/plan/fit-check.ts'
import { together } from '../../../src/domain/messages/message.ts'
import { speaker } from '../../../src/domain/messages/speaker.ts'
import { SOURCES } from '../../../src/domain/tables/sources.ts'
import { faultsInVoices } from '../../helpers/every-voice.ts'
import { RULES } from '../../helpers/rules.ts'

const en = speaker('en')
const es = speaker('es')
const NOTHING = together([])

const both = () => fitCheck(['left', 'right'], RULES)
const item = (id: string) => both().find((one) => one.id === id && one.side === 'left')

test('every item is asked of each foot that gets a device', () => {
  const perFoot = [
    'heel-fully-back-and-down',
    'ankle-bones-free',
    'closure-gap',
    'medial-trim-line',
    'lateral-trim-line',
    'no-edge-past-metatarsal-heads',
    'redness',
  ]

  const items = both()
  expect(items.filter(({ side }) => side === 'left').map(({ id }) => id)).toEqual(perFoot)
  expect(items.filter(({ side }) => side === 'right').map(({ id }) => id)).toEqual(perFoot)
  expect(fitCheck(['right'], RULES).some(({ side }) => side === 'left')).toBe(false)
})

test('getting up from the floor and back is asked once, of the child', () => {
  const whole = both().filter(({ side }) => side === undefined)

  expect(whole.map(({ id }) => id)).toEqual(['floor-to-stand-and-back'])
})

test('the closure stands 7 to 19 mm open', () => {
  expect(item('closure-gap')).toMatchObject({ answer: 'mm', tolerance: { min: 7, max: 19 } })
})

test('the inner edge ends 2 to 6 mm behind the metatarsal head, the outer 0 to 4 before the sulcus', () => {
  expect(item('medial-trim-line')?.tolerance).toEqual({ min: 2, max: 6 })
  expect(item('lateral-trim-line')?.tolerance).toEqual({ min: 0, max: 4 })
})

test('redness of up to 20 minutes passes; over 20 is told, over 30 stops and calls', () => {
  const redness = item('redness')

  expect(redness).toMatchObject({ answer: 'minutes', tolerance: { min: 0, max: 20 } })
  const said = redness?.question ?? NOTHING
  expect(en.therapist(said)).toMatch(/^Left: .*Over 20: tell.*over 30: stop and call/)
  expect(en.family(said)).toMatch(/^Left foot: .*more than 20.*more than 30/)
  expect(es.therapist(said)).toMatch(/^Pie izquierdo: .*Más de 20: avisar.*más de 30: suspender/)
})

test('a tolerance never reaches below nothing', () => {
  const sizing = { ...RULES.sizing, closureGapMm: 3 }
  const narrow = fitCheck(['left'], { ...RULES, sizing }).find(({ id }) => id === 'closure-gap')

  expect(narrow?.tolerance).toEqual({ min: 0, max: 9 })
})

test('what is asked, and on whose authority', () => {
  const asked = fitCheck(['left'], RULES).map(({ id, answer, sources }) => [id, answer, ...sources])

  expect(asked).toEqual([
    ['heel-fully-back-and-down', 'yes-no', 'orthosis-leaflets'],
    ['ankle-bones-free', 'yes-no', 'memory'],
    ['closure-gap', 'mm', 'common-practice', 'judgement'],
    ['medial-trim-line', 'mm', 'common-practice', 'judgement'],
    ['lateral-trim-line', 'mm', 'common-practice', 'judgement'],
    ['no-edge-past-metatarsal-heads', 'yes-no', 'front-edge-letter-2012'],
    ['redness', 'minutes', 'orthosis-leaflets'],
    ['floor-to-stand-and-back', 'yes-no', 'common-practice'],
  ])
})

test('every item is asked in every voice, with its side in words, and has sources', () => {
  const items = both()
  expect(faultsInVoices(items.map(({ question }) => question))).toEqual([])
  for (const { question, side, sources } of items) {
    const family = en.family(question).toLowerCase()
    expect(family).toContain(side === undefined ? 'child' : `${side} foot`)
    expect(sources.every((source) => source in SOURCES)).toBe(true)
    expect(sources.length).toBeGreaterThan(0)
  }
})
