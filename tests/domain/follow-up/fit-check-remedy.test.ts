import * as fc from 'fast-check'
import { expect, test } from 'vitest'
import { fitCheck } from '../../../src/domain/plan/fit-check.ts'
import { remedyOfMm, remedyOfNo } from '../../../src/domain/follow-up/fit-check-remedy.ts'
import { speaker } from '../../../src/domain/messages/speaker.ts'
import { faultsInVoices } from '../../helpers/every-voice.ts'
import { RULES } from '../../helpers/rules.ts'

const en = speaker('en')
const items = fitCheck(['left'], RULES)
type Id = (typeof items)[number]['id']
const remedy = (id: Id, value: number) => remedyOfMm({ id, side: 'left' }, value, RULES)
const mm = (id: Id, value: number) => remedy(id, value)?.adjustment

test('the closure belongs 13 mm open: a narrow one is trimmed, a wide one needs a larger size', () => {
  expect(mm('closure-gap', 6)).toEqual({ what: 'closure-edges', direction: 'take-off', mm: 7 })
  expect(mm('closure-gap', -2)).toEqual({ what: 'closure-edges', direction: 'take-off', mm: 15 })
  expect(mm('closure-gap', 20)).toEqual({ what: 'size', direction: 'larger', mm: 7 })
})

test('the inner edge belongs 4 mm behind the metatarsal head', () => {
  expect(mm('medial-trim-line', 1)).toEqual({ what: 'medial-edge', direction: 'take-off', mm: 3 })
  expect(mm('medial-trim-line', 9)).toEqual({ what: 'medial-edge', direction: 'longer', mm: 5 })
})

test('the outer edge belongs 2 mm before the sulcus', () => {
  expect(mm('lateral-trim-line', -1)).toEqual({
    what: 'lateral-edge',
    direction: 'take-off',
    mm: 3,
  })
  expect(mm('lateral-trim-line', 5)).toEqual({ what: 'lateral-edge', direction: 'longer', mm: 3 })
})

const words = (id: Id, value: number, say = en.therapist) => {
  const found = remedy(id, value)
  return found && say(found.wording)
}

test('the sentence names the foot and the millimetres; an overlap is called one', () => {
  expect(words('closure-gap', -2)).toBe(
    'Left: the closure overlaps by 2 mm: take 15 mm off its edges for a gap of 13 mm.',
  )
  expect(words('closure-gap', 6)).toMatch(/stands 6 mm open: take 7 mm off/)
  expect(words('closure-gap', 0)).toMatch(/stands 0 mm open: take 13 mm off/)
  expect(words('closure-gap', 20.25)).toMatch(/20.3 mm open, 7.3 mm more .* larger size/)
  expect(words('medial-trim-line', 1)).toMatch(/1 mm short of the first metatarsal head: take 3 mm/)
  expect(words('lateral-trim-line', 5)).toMatch(
    /fifth-toe sulcus, 3 mm too far back.*: a longer plate/,
  )
})

test('an edge that reaches past its mark is said to be past it, on the mark to be at it', () => {
  expect(words('lateral-trim-line', -1)).toMatch(/ends 1 mm past the fifth-toe sulcus: take 3 mm/)
  expect(words('lateral-trim-line', 0)).toMatch(/ends 0 mm short of .*: take 2 mm/)
  expect(words('medial-trim-line', -0.5)).toMatch(/0.5 mm past the first metatarsal head: take 4.5/)
})

test('the family is told not to cut, in the words of its language', () => {
  expect(words('medial-trim-line', 1, en.family)).toBe(
    'Left foot: the front edge on the big-toe side is too long. We shorten it; please do not cut it yourself.',
  )
  expect(words('closure-gap', 20.25, speaker('es').therapist)).toMatch(
    /^Pie izquierdo: el cierre queda abierto 20,3 mm, 7,3 mm más/,
  )
})

test('every item that can fail has a remedy in every voice, and no other has', () => {
  for (const item of fitCheck(['left', 'right'], RULES)) {
    const no = remedyOfNo(item)
    const out = [-3, 1, 50].flatMap((value) => remedyOfMm(item, value, RULES) ?? [])
    expect([item.id, no !== undefined, out.length]).toEqual([
      item.id,
      item.answer === 'yes-no',
      item.answer === 'mm' ? 3 : 0,
    ])
    const all = [...(no ? [no] : []), ...out].map(({ wording }) => wording)
    expect(all.length === 0 ? [] : faultsInVoices(all)).toEqual([])
  }
})

test('without a side the sentence names no foot', () => {
  const remedies = [
    remedyOfNo({ id: 'ankle-bones-free' }),
    remedyOfMm({ id: 'closure-gap' }, 20, RULES),
  ].flatMap((found) => (found ? [en.therapist(found.wording)] : []))

  expect(remedies[0]).toMatch(/^An ankle bone is under pressure/)
  expect(remedies[1]).toMatch(/^The closure stands 20 mm open/)
})

test('a change by the millimetres named reaches the target', () => {
  const targets = [
    ['closure-gap', 13],
    ['medial-trim-line', 4],
    ['lateral-trim-line', 2],
  ] as const
  fc.assert(
    fc.property(
      fc.constantFrom(...targets),
      fc.double({ min: -40, max: 60, noNaN: true }),
      ([id, target], value) => {
        const found = mm(id, value)
        const change = found?.direction === 'take-off' ? 1 : -1

        expect(value + change * Number(found?.mm)).toBeCloseTo(target, 9)
      },
    ),
  )
})
