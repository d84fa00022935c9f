import * as fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { oneChild } from '../../../src/domain/identity/one-child.ts'
import type { Traits } from '../../../src/domain/identity/traits.ts'
import {
  LINKAGE_RATES,
  MATCH_GRADES,
  NAME_SIMILARITY,
} from '../../../src/domain/tables/linkage-weights.ts'
import { SOURCES } from '../../../src/domain/tables/sources.ts'

const NOTHING: Traits = {
  identifiers: [],
  given: [],
  family: [],
  birthDate: undefined,
  sex: undefined,
  postalCodes: [],
  telecoms: [],
  birthOrder: undefined,
}
const CHILD: Traits = {
  identifiers: [{ system: 'https://a.example/ids', value: '1' }],
  given: ['martha'],
  family: ['quill'],
  birthDate: { year: 2024, month: 3, day: 5 },
  sex: 'female',
  postalCodes: ['99501'],
  telecoms: ['9075550100'],
  birthOrder: undefined,
}
const without = (change: Partial<Traits>): Traits => ({ ...CHILD, identifiers: [], ...change })
const grade = (change: Partial<Traits>, of: Traits = CHILD) => oneChild(of, without(change)).grade

describe('the published figures', () => {
  // ABS 3302.0.55.004, Appendix C, typed again from tables C.1 (pass 1) and C.2 (pass 2).
  test.each([
    ['given', 0.839, 0.006, 0.158, 0.989],
    ['family', 0.954, 0.007, 0.041, 0.987],
    ['sex', 0.966, 0.512, 0.017, 0.476],
    ['dayOfBirth', 0.903, 0.03, 0.039, 0.89],
    ['monthOfBirth', 0.923, 0.077, 0.019, 0.844],
    ['postalCode', 0.871, 0.001, 0.122, 0.992],
  ] as const)('%s is as printed', (trait, m, u, notM, notU) => {
    const { agree, disagree, source } = LINKAGE_RATES[trait]

    expect([agree.m, agree.u, disagree.m, disagree.u]).toEqual([m, u, notM, notU])
    expect(SOURCES[source].citation).toMatch(/^Australian Bureau of Statistics/)
  })

  test('every other number is marked as judgement or as from memory', () => {
    const { yearOfBirth, telecom } = LINKAGE_RATES
    const marks = [yearOfBirth, telecom, ...Object.values(MATCH_GRADES)].map((one) => one.source)

    expect(new Set(marks)).toEqual(new Set(['judgement']))
    expect(NAME_SIMILARITY.similarFrom.source).toBe('memory')
    expect(NAME_SIMILARITY.disagreeUpTo.source).toBe('judgement')
  })
})

describe('the grade', () => {
  test('is certain of the same given name, family name, date of birth and sex', () => {
    expect(grade({ postalCodes: [], telecoms: [] })).toBe('certain')
  })
  test('is certain without the sex', () => {
    expect(grade({ postalCodes: [], telecoms: [], sex: undefined })).toBe('certain')
  })
  test('is probable of a misspelt given name', () => {
    expect(grade({ given: ['marhta'] })).toBe('probable')
  })
  test('is probable when one knows the month of birth and not the day', () => {
    expect(grade({ birthDate: { year: 2024, month: 3 } })).toBe('probable')
  })
  test('is not certain when the day of birth differs, whatever else agrees', () => {
    expect(grade({ birthDate: { year: 2024, month: 3, day: 6 } })).toBe('probable')
  })
  test('is possible of a twin, who shares all but the given name', () => {
    expect(grade({ given: ['otto'] })).toBe('possible')
  })
  test('is possible when a given name is unknown', () => {
    expect(grade({ given: [] })).toBe('possible')
  })
  test('is possible of twins of nearly one name who were born first and second', () => {
    expect(grade({ birthOrder: 2 }, { ...CHILD, birthOrder: 1 })).toBe('possible')
  })
  test('is no other child’s when only one order of birth is known', () => {
    expect(grade({ birthOrder: 2 })).toBe('certain')
  })
  test('is certainly-not of a brother or sister of another age', () => {
    const sibling = { given: ['otto'], birthDate: { year: 2021, month: 9, day: 20 } }

    expect(grade(sibling)).toBe('certainly-not')
  })
  test('is certainly-not of a shared date of birth and nothing else', () => {
    const day = { birthDate: CHILD.birthDate }

    expect(oneChild({ ...NOTHING, ...day }, { ...NOTHING, ...day }).grade).toBe('certainly-not')
  })
  test('is certainly-not of records that say nothing', () => {
    expect(oneChild(NOTHING, NOTHING).grade).toBe('certainly-not')
  })
})

describe('a shared identifier', () => {
  const carrying = (change: Partial<Traits>): Traits => ({
    ...NOTHING,
    identifiers: CHILD.identifiers,
    ...change,
  })

  test('decides by itself', () => {
    expect(oneChild(CHILD, carrying({}))).toEqual({ score: 1, grade: 'certain' })
  })
  test('of another system says nothing', () => {
    const other = carrying({ identifiers: [{ system: 'https://b.example/ids', value: '1' }] })

    expect(oneChild(CHILD, other).grade).toBe('certainly-not')
  })
  test('is possible at most when the date of birth contradicts it', () => {
    expect(oneChild(CHILD, carrying({ birthDate: { year: 2021 } })).grade).toBe('possible')
  })
  test('decides when the date of birth is known in part and fits', () => {
    expect(oneChild(CHILD, carrying({ birthDate: { year: 2024 } })).grade).toBe('certain')
  })
  test('is probable when the given names differ: twins may be insured under one number', () => {
    expect(oneChild(CHILD, carrying({ given: ['otto'] })).grade).toBe('probable')
  })
  test('is possible when the order of birth differs', () => {
    const first = { ...CHILD, birthOrder: 1 }

    expect(oneChild(first, carrying({ birthOrder: 2 })).grade).toBe('possible')
  })
})

describe('laws', () => {
  const word = fc.stringMatching(/^[a-e]{1,6}$/)
  const words = fc.array(word, { maxLength: 2 })
  const maybe = <T>(of: fc.Arbitrary<T>) => fc.option(of, { nil: undefined })
  const birthDate = fc
    .record({
      year: fc.integer({ min: 2020, max: 2022 }),
      month: fc.integer({ min: 1, max: 3 }),
      day: fc.integer({ min: 1, max: 3 }),
      parts: fc.integer({ min: 1, max: 3 }),
    })
    .map(({ year, month, day, parts }) => ({
      year,
      ...(parts > 1 ? { month } : {}),
      ...(parts > 2 ? { day } : {}),
    }))
  const traits: fc.Arbitrary<Traits> = fc.record({
    identifiers: fc.array(fc.record({ system: word, value: word }), { maxLength: 2 }),
    given: words,
    family: words,
    birthDate: maybe(birthDate),
    sex: maybe(fc.constantFrom('female', 'male')),
    postalCodes: words,
    telecoms: words,
    birthOrder: maybe(fc.integer({ min: 1, max: 2 })),
  })

  test('it does not matter which record is compared with which', () => {
    fc.assert(
      fc.property(traits, traits, (one, other) => {
        const [there, back] = [oneChild(one, other), oneChild(other, one)]

        expect(there.score).toBeCloseTo(back.score, 12)
        expect(there.grade).toBe(back.grade)
      }),
    )
  })

  test('the score lies from 0 to 1', () => {
    fc.assert(
      fc.property(traits, traits, (one, other) => {
        const { score } = oneChild(one, other)

        expect(score >= 0 && score <= 1).toBe(true)
      }),
    )
  })

  test('a record with an identifier scores 1 with itself', () => {
    fc.assert(
      fc.property(traits, word, (one, value) => {
        const same = { ...one, identifiers: [{ system: 'a', value }] }

        expect(oneChild(same, same)).toEqual({ score: 1, grade: 'certain' })
      }),
    )
  })

  test('a record with names and a whole date of birth is certainly the same as itself', () => {
    fc.assert(
      fc.property(traits, word, word, (one, given, family) => {
        const day = { year: 2021, month: 2, day: 3 }
        const same = { ...one, given: [given], family: [family], birthDate: day }

        expect(oneChild(same, same).grade).toBe('certain')
      }),
    )
  })

  test('more agreement never scores lower', () => {
    const trait = fc.constantFrom(
      'identifiers',
      'given',
      'family',
      'birthDate',
      'sex',
      'postalCodes',
      'telecoms',
      'birthOrder',
    )
    fc.assert(
      fc.property(traits, traits, trait, (one, other, name) => {
        const agreeing = { ...other, [name]: one[name] }
        // Where one record says nothing, there is nothing to agree in.
        const isSaid = Array.isArray(one[name]) ? one[name].length > 0 : one[name] !== undefined
        if (!isSaid) return
        const [before, after] = [oneChild(one, other), oneChild(one, agreeing)]

        expect(after.score).toBeGreaterThanOrEqual(before.score)
      }),
    )
  })
})
