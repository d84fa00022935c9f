import * as fc from 'fast-check'
import { expect, test } from 'vitest'
import { attainment } from '../../../src/domain/development/attainment.ts'
import type { MilestoneCheck } from '../../../src/domain/child.ts'
import type { Fact } from '../../../src/domain/facts.ts'
import { BORN, dayOf, look } from '../../helpers/checks.ts'
import { child } from '../../helpers/child.ts'
import { RULES } from '../../helpers/rules.ts'

const WALKING = 'walking-alone'
const LATER = dayOf(900)
const of = (checks: readonly Fact<MilestoneCheck>[], asOf = LATER) =>
  attainment(child({ milestoneChecks: checks }), WALKING, asOf, RULES)

const seen = (days: number) => look(WALKING, days, true)
const missing = (days: number) => look(WALKING, days, false)
const dated = (by: 'professional' | 'caregiver', began: number, reported: number) =>
  look(WALKING, reported, true, { attainedOn: dayOf(began), reportedBy: by })

test('without a check nothing is known', () => {
  expect(of([])).toStrictEqual({
    milestone: WALKING,
    current: 'unknown',
    regressed: 'no',
    contradicted: false,
    evidence: [],
  })
})

test('looks at another milestone say nothing', () => {
  expect(of([look('standing-alone', 400, true)]).current).toBe('unknown')
})

test('it began after the last look without it and by the first look with it', () => {
  const found = of([seen(500), missing(300), seen(420), missing(380)])

  expect(found).toMatchObject({ current: 'yes', regressed: 'no' })
  expect(found.onset).toEqual({ notBefore: dayOf(380), notAfter: dayOf(420) })
  expect(found.notYetOn).toBeUndefined()
})

test('seen at the first look, there is no day before which it was not there', () => {
  expect(of([seen(420)]).onset).toStrictEqual({ notAfter: dayOf(420) })
  expect(of([seen(420)])).not.toHaveProperty('notYetOn')
})

test('never seen, the latest look without it counts', () => {
  expect(of([missing(300), missing(380)])).toMatchObject({ current: 'no', notYetOn: dayOf(380) })
  expect(of([missing(300)]).onset).toBeUndefined()
})

test('a check after the day asked for is not seen; one on that day is', () => {
  expect(of([missing(300), seen(420)], dayOf(419))).toMatchObject({
    current: 'no',
    notYetOn: dayOf(300),
  })
  expect(of([missing(300), seen(420)], dayOf(420)).current).toBe('yes')
  expect(of([seen(420)], dayOf(419)).evidence).toEqual([])
})

test('a date from a professional is a point: the day before and that day', () => {
  expect(of([missing(300), dated('professional', 400, 450)]).onset).toEqual({
    notBefore: dayOf(399),
    notAfter: dayOf(400),
  })
})

test('a date from a professional on the day of the look is a point too', () => {
  expect(of([dated('professional', 400, 400)]).onset).toEqual({
    notBefore: dayOf(399),
    notAfter: dayOf(400),
  })
})

test('somebody who saw it before the dated beginning makes the date too late', () => {
  expect(of([missing(300), seen(380), dated('professional', 400, 450)]).onset).toEqual({
    notBefore: dayOf(300),
    notAfter: dayOf(380),
  })
})

test('a date from a caregiver holds to two weeks either side', () => {
  expect(of([dated('caregiver', 400, 450)]).onset).toEqual({
    notBefore: dayOf(386),
    notAfter: dayOf(414),
  })
})

test('a date from a caregiver ends with the day of the report', () => {
  expect(of([dated('caregiver', 400, 405)]).onset).toEqual({
    notBefore: dayOf(386),
    notAfter: dayOf(405),
  })
})

test('looks within the two weeks cut a date from a caregiver on both sides', () => {
  expect(of([dated('caregiver', 400, 450), missing(395), seen(403)]).onset).toEqual({
    notBefore: dayOf(395),
    notAfter: dayOf(403),
  })
})

test('a look without it before the two weeks leaves them as they are', () => {
  expect(of([dated('caregiver', 400, 450), missing(385)]).onset?.notBefore).toBe(dayOf(386))
})

test('a look that leaves nothing of a remembered date wins, and a loss cannot be ruled out', () => {
  const found = of([dated('caregiver', 400, 450), missing(414)])

  expect(found.onset).toEqual({ notBefore: dayOf(414), notAfter: dayOf(450) })
  expect(found.regressed).toBe('unknown')
  expect(of([dated('caregiver', 400, 450), missing(413)]).regressed).toBe('no')
})

test('a date from a professional that a look of that day denies is left out with it', () => {
  const denied = look(WALKING, 400, false, { reportedBy: 'caregiver' })
  const found = of([missing(300), dated('professional', 400, 450), denied])

  expect(found.onset).toEqual({ notBefore: dayOf(300), notAfter: dayOf(450) })
  expect(found).toMatchObject({ contradicted: true, current: 'yes', regressed: 'no' })
})

test('a date from a caregiver ends with its report, although the looks of that day disagree', () => {
  expect(of([dated('caregiver', 400, 405), missing(405), seen(450)]).onset).toEqual({
    notBefore: dayOf(386),
    notAfter: dayOf(405),
  })
})

test('seen on the first day of what a caregiver remembers, it began by then', () => {
  expect(of([dated('caregiver', 400, 450), seen(386)]).onset).toEqual({ notAfter: dayOf(386) })
})

test('the day of birth is a day before which it may not have begun', () => {
  expect(of([dated('caregiver', 14, 450)]).onset).toEqual({ notBefore: BORN, notAfter: dayOf(28) })
  expect(of([missing(0), seen(420)]).onset).toEqual({ notBefore: BORN, notAfter: dayOf(420) })
})

test('a remembered date does not reach back before birth', () => {
  expect(of([dated('caregiver', 10, 450)]).onset).toEqual({ notAfter: dayOf(24) })
})

test('seen and on a later day not seen is a regression without an onset', () => {
  const found = of([seen(420), missing(500)])

  expect(found).toMatchObject({ current: 'no', regressed: 'yes' })
  expect(found.onset).toBeUndefined()
  expect(found.notYetOn).toBeUndefined()
})

test('dated by a professional and later not seen is a regression, although it is seen again', () => {
  expect(of([dated('professional', 400, 600), missing(500)])).toMatchObject({
    current: 'yes',
    regressed: 'yes',
  })
})

test('two looks of one day that disagree are left out, and the state is unknown', () => {
  const found = of([
    missing(300),
    seen(420),
    look(WALKING, 420, false, { reportedBy: 'caregiver' }),
  ])

  expect(found).toMatchObject({ current: 'unknown', contradicted: true, notYetOn: dayOf(300) })
  expect(found.onset).toBeUndefined()
})

test('a day that disagrees after it was seen leaves a regression open', () => {
  const found = of([seen(420), seen(500), missing(500)])

  expect(found).toMatchObject({ regressed: 'unknown', current: 'unknown' })
  expect(found.onset).toEqual({ notAfter: dayOf(420) })
})

test('a day that disagrees before it was first seen is no sign of a loss', () => {
  expect(of([seen(400), missing(400), seen(420)])).toMatchObject({
    regressed: 'no',
    contradicted: true,
    onset: { notAfter: dayOf(420) },
  })
})

test('two looks of one day that agree are used', () => {
  expect(of([seen(420), look(WALKING, 420, true, { reportedBy: 'caregiver' })])).toMatchObject({
    current: 'yes',
    contradicted: false,
  })
})

test('evidence names every check used, once and in order', () => {
  expect(of([seen(420), missing(380), seen(420)]).evidence).toEqual([
    'Observation/walking-alone-380-false-professional/_history/1',
    'Observation/walking-alone-420-true-professional/_history/1',
  ])
})

const IMPOSSIBLE = {
  'a milestone was checked before birth': [missing(-1)],
  'a milestone was attained before birth': [dated('caregiver', -1, 400)],
  'a milestone was attained after the day of the report': [dated('professional', 401, 400)],
  'a milestone that is not attained has a day of attainment': [
    look(WALKING, 400, false, { attainedOn: dayOf(390) }),
  ],
}

for (const [message, checks] of Object.entries(IMPOSSIBLE))
  test(`"${message}" is refused, and does not matter before it is recorded`, () => {
    expect(() => of(checks)).toThrow(
      expect.objectContaining({ element: 'milestoneChecks', message }),
    )
    expect(() => of(checks, dayOf(-2))).not.toThrow()
  })

test('a check on the day of birth is taken', () => {
  expect(of([missing(0)]).notYetOn).toBe(BORN)
})

const anyCheck = fc
  .record({
    days: fc.integer({ min: 1, max: 60 }),
    attained: fc.boolean(),
    by: fc.constantFrom('professional' as const, 'caregiver' as const),
    before: fc.option(fc.integer({ min: 0, max: 40 }), { nil: undefined }),
  })
  .map(({ days, attained, by, before }) =>
    look(WALKING, days * 7, attained, {
      reportedBy: by,
      ...(attained && before !== undefined
        ? { attainedOn: dayOf(Math.max(0, days * 7 - before)) }
        : {}),
    }),
  )
const anyChecks = fc.array(anyCheck, { maxLength: 7 })

test('the order of the checks does not matter', () => {
  fc.assert(
    fc.property(anyChecks, fc.integer(), (checks, seed) => {
      const shuffled = checks
        .map((check, index) => ({ check, key: Math.sin(seed + index) }))
        .toSorted((a, b) => a.key - b.key)
        .map(({ check }) => check)

      expect(of(shuffled)).toEqual(of(checks))
    }),
  )
})

test('a beginning lies between birth and the day asked for, with its days in order', () => {
  fc.assert(
    fc.property(anyChecks, (checks) => {
      const { onset } = of(checks)
      fc.pre(onset !== undefined)
      const days = [onset?.notBefore ?? BORN, onset?.notAfter ?? BORN]

      expect(days).toEqual(days.toSorted())
      expect(onset?.notBefore).not.toBe(onset?.notAfter)
    }),
  )
})

const CRAWLING = 'hands-and-knees-crawling'
const crawling = (checks: readonly Fact<MilestoneCheck>[]) =>
  attainment(child({ milestoneChecks: checks }), CRAWLING, LATER, RULES).regressed

test('crawling that a child has given up by the day it walks alone is no regression', () => {
  const before = look(CRAWLING, 300, true)
  const after = look(CRAWLING, 500, false)

  expect(crawling([before, after, look(WALKING, 500, true)])).toBe('no')
})

test('crawling that is lost before the child walks alone is a regression', () => {
  const before = look(CRAWLING, 300, true)
  const after = look(CRAWLING, 499, false)

  expect(crawling([before, after, look(WALKING, 500, true)])).toBe('yes')
  expect(crawling([before, after, look(WALKING, 499, false)])).toBe('yes')
})
