import * as fc from 'fast-check'
import { expect, test } from 'vitest'
import type { Child, Foot } from '../../../src/domain/child.ts'
import { sizing } from '../../../src/domain/device/sizing.ts'
import { speaker } from '../../../src/domain/messages/speaker.ts'
import { GENERIC_SIZE_CHART } from '../../../src/domain/tables/generic-size-chart.ts'
import { child, fact, foot } from '../../helpers/child.ts'
import { faultsInVoices } from '../../helpers/every-voice.ts'
import { messagesIn } from '../../helpers/messages.ts'
import { AS_OF, agesAt, measuredFoot, taken, THREE_SIZES } from '../../helpers/plans.ts'
import { RULES } from '../../helpers/rules.ts'

const en = speaker('en')
const sized = (left: Foot, known: Partial<Child> = {}, age = 18, right = left) => {
  const on = { child: child({ feet: { left, right }, ...known }), asOf: AS_OF, ages: agesAt(age) }
  return sizing(on, THREE_SIZES, RULES)
}
const rulesOf = (found: ReturnType<typeof sized>) => found.left.warnings.map(({ rule }) => rule)

/** Everything that sizing asks for, of a foot that fits size B. */
const WHOLE = {
  'foot-length': 124,
  'forefoot-breadth': 52,
  'heel-to-first-metatarsal-head': 91,
  'heel-to-fifth-toe-sulcus': 93,
  'malleolar-breadth': 40,
  'ankle-circumference': 132,
  'instep-girth': 123,
}

test('a wholly measured foot gets its size, its trims, its gap and its refit date', () => {
  const { left } = sized(measuredFoot(WHOLE))

  expect(left.state).toBe('sized')
  expect(left.size?.code).toBe('B')
  expect(left.trims.map(({ mm }) => mm)).toEqual([8, 7])
  expect(left.closureGapMm).toBe(13)
  expect(left.closure && en.therapist(left.closure)).toMatch(/13 mm open, which is right/)
  expect(left.refit?.limitMm).toBe(130)
  expect(left.refit?.median).toBeDefined()
  expect(left.evidence).toHaveLength(7)
})

test('without a foot length nothing is sized and the length is asked for', () => {
  const { left } = sized(foot())

  expect(left).toMatchObject({ state: 'unknown', closureGapMm: 'unknown', trims: [] })
  expect(left).not.toHaveProperty('size')
  expect(left).not.toHaveProperty('refit')
  expect(en.therapist(left.because)).toContain('measure heel to longest toe')
  expect(left).not.toHaveProperty('closure')
})

test('a shoe size alone never sizes; it is offered as an estimate', () => {
  const found = sized(foot(), { shoeSize: fact({ system: 'eu', size: 21 }) })

  expect(found.left.state).toBe('unknown')
  expect(rulesOf(found)).toContain('shoe-size-estimate.left')
})

test('a shoe size that disagrees is reported beside the size of the foot', () => {
  const found = sized(measuredFoot(WHOLE), { shoeSize: fact({ system: 'eu', size: 24 }) })

  expect(found.left.size?.code).toBe('B')
  expect(rulesOf(found)).toContain('shoe-size-disagreement.left')
})

test('feet that differ get different sizes', () => {
  const found = sized(measuredFoot(WHOLE), {}, 18, measuredFoot({ 'foot-length': 135 }))

  expect(found.left.size?.code).toBe('B')
  expect(found.right.size?.code).toBe('C')
})

test('one foot that is not measured does not borrow from the other', () => {
  expect(sized(measuredFoot(WHOLE), {}, 18, foot()).right.state).toBe('unknown')
})

test('no feasible size: made to measure, with the constraint that failed', () => {
  const { left } = sized(measuredFoot({ ...WHOLE, 'forefoot-breadth': 61 }))

  expect(left.state).toBe('custom')
  expect(en.therapist(left.because)).toContain('Over its 60 mm: forefoot breadth 61 mm.')
  expect(left).not.toHaveProperty('size')
})

for (const missed of ['forefoot-breadth', 'ankle-circumference'] as const) {
  test(`without ${missed} the size stands and the measurement is asked for`, () => {
    const { [missed]: _, ...rest } = WHOLE
    const found = sized(measuredFoot(rest))

    expect(found.left.size?.code).toBe('B')
    expect(rulesOf(found)).toContain(`measurement-missing.${missed}.left`)
  })
}

test('without landmarks and girth trims and gap are unknown', () => {
  const found = sized(measuredFoot({ 'foot-length': 124 }))

  expect(found.left.trims.map(({ mm }) => mm)).toEqual(['unknown', 'unknown'])
  expect(found.left.closureGapMm).toBe('unknown')
  expect(rulesOf(found)).toContain('closure-gap.left')
  expect(found.left.evidence).toEqual([taken(124).evidence])
})

test('an unloaded length chooses the size that it has loaded', () => {
  const unloaded = foot({
    measurements: { ...foot().measurements, 'foot-length': [taken(113, AS_OF, 'unloaded')] },
  })

  // 113 mm and 3.95 % are 117.5 mm: under 3 mm of room in A.
  expect(sized(unloaded).left.size?.code).toBe('B')
  expect(sized(measuredFoot({ 'foot-length': 113 })).left.size?.code).toBe('A')
})

test('a slip of unit is not sized', () => {
  expect(sized(measuredFoot({ 'foot-length': 12.4 })).left.state).toBe('unknown')
})

test('Down syndrome coded: feet are shorter and wider, so breadth and instep are asked for', () => {
  const coded = sized(measuredFoot(WHOLE), { diagnoses: { 'down-syndrome': fact(true) } })
  const warning = coded.left.warnings.find(({ rule }) => rule === 'down-syndrome-dimensions.left')

  expect(warning && en.therapist(warning.because)).toMatch(
    /11.62 mm shorter.*4.8 mm wider.*7.92 mm more/,
  )
  expect(warning?.sources).toEqual(['down-syndrome-feet-2022'])
  expect(rulesOf(sized(measuredFoot(WHOLE)))).not.toContain('down-syndrome-dimensions.left')
})

test('too little room in the largest size is a warning', () => {
  expect(rulesOf(sized(measuredFoot({ 'foot-length': 137 })))).not.toContain('growth-room.left')
  expect(rulesOf(sized(measuredFoot({ 'foot-length': 137.1 })))).toContain('growth-room.left')
})

test('a size that will be outgrown within 12 weeks of wear is a warning', () => {
  // At 18 months 1.8 mm a month: 16 weeks after the day the foot is about 6.5 mm longer.
  expect(rulesOf(sized(measuredFoot({ 'foot-length': 121.5 })))).toContain('refit-soon.left')
  expect(rulesOf(sized(measuredFoot({ 'foot-length': 117.5 })))).not.toContain('refit-soon.left')
})

test('outside the ages of the curve the size stands without a refit date', () => {
  const found = sized(measuredFoot({ 'foot-length': 124 }), {}, 83)

  expect(found.left.size?.code).toBe('B')
  expect(found.left).not.toHaveProperty('refit')
  expect(rulesOf(found)).toContain('refit-unknown.left')
})

test('the chart that was used is named', () => {
  expect(sized(foot()).chart).toEqual({
    id: 'invented',
    version: '1',
    note: 'Invented for a test.',
  })
})

test('same child, day, chart and rules: same answer, for any measured foot', () => {
  const anyFoot = fc.dictionary(
    fc.constantFrom(...Object.keys(WHOLE)),
    fc.double({ min: 0, max: 1000, noNaN: true }),
  )
  fc.assert(
    fc.property(anyFoot, fc.double({ min: 0, max: 90, noNaN: true }), (sizes, age) => {
      const own = measuredFoot(sizes)
      const on = {
        child: child({ feet: { left: own, right: own } }),
        asOf: AS_OF,
        ages: agesAt(age),
      }
      const found = sizing(on, GENERIC_SIZE_CHART, RULES)

      expect(sizing(on, GENERIC_SIZE_CHART, RULES)).toEqual(found)
      expect(found.left.state === 'sized').toBe(found.left.size !== undefined)
      expect(found.left.state === 'unknown').toBe(found.left.used['foot-length'] === undefined)
    }),
  )
})

test('everything that is found about the size is said in both languages to both readers', () => {
  const down: Partial<Child> = { diagnoses: { 'down-syndrome': fact(true) } }
  const found = [
    sized(measuredFoot(WHOLE), { ...down, shoeSize: fact({ system: 'eu', size: 24 }) }),
    sized(foot(), { shoeSize: fact({ system: 'eu', size: 21 }) }),
    sized(measuredFoot({ 'foot-length': 137.1, 'instep-girth': 150 })),
    sized(measuredFoot({ 'foot-length': 124 }), {}, 83),
    sized(measuredFoot({ ...WHOLE, 'forefoot-breadth': 61 })),
  ]

  const messages = found.flatMap(({ left }) => messagesIn(left))

  expect(messages.length).toBeGreaterThan(25)
  expect(faultsInVoices(messages)).toEqual([])
})
