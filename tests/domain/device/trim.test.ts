import { expect, test } from 'vitest'
import {
  closureGap,
  closureWarnings,
  gapIsWide,
  trimFaults,
  trims,
} from '../../../src/domain/device/trim.ts'
import { size, usedOf } from '../../helpers/plans.ts'
import { RULES } from '../../helpers/rules.ts'

/** Plates 95 and 98 mm, trim up to 12 mm; the edges belong 4 and 2 mm short of the landmarks. */
const SIZE = size()
const medial = (mm: number) => usedOf({ 'heel-to-first-metatarsal-head': mm })
const lateral = (mm: number) => usedOf({ 'heel-to-fifth-toe-sulcus': mm })
const instep = (mm: number) => usedOf({ 'instep-girth': mm })

test('a first metatarsal head at 92 mm takes 7 mm off the medial plate of 95', () => {
  expect(trims(SIZE, medial(92), RULES)[0]).toMatchObject({ edge: 'medial', mm: 7 })
})

test('a sulcus at 94 mm takes 6 mm off the lateral plate of 98', () => {
  expect(trims(SIZE, lateral(94), RULES)[1]).toMatchObject({ edge: 'lateral', mm: 6 })
})

test('what is not measured is unknown and says what to measure', () => {
  const [inner, outer] = trims(SIZE, {}, RULES)

  expect(inner.mm).toBe('unknown')
  expect(inner.because).toMatch(/first metatarsal head.*measure/)
  expect(outer.mm).toBe('unknown')
  expect(outer.because).toMatch(/fifth-toe sulcus.*measure/)
  expect(trimFaults(SIZE, {}, RULES)).toEqual([])
})

test('nothing to trim is right, a plate that is too short is not', () => {
  expect(trimFaults(SIZE, medial(99), RULES)).toEqual([])
  expect(trimFaults(SIZE, medial(99.5), RULES)).toEqual(['its medial plate is 0.5 mm too short'])
  expect(trimFaults(SIZE, lateral(100), RULES)).toEqual([])
  expect(trimFaults(SIZE, lateral(100.5), RULES)).toHaveLength(1)
})

test('12 mm may come off, 12.5 may not', () => {
  expect(trimFaults(SIZE, medial(87), RULES)).toEqual([])
  expect(trimFaults(SIZE, medial(86.5), RULES)).toEqual([
    '12.5 mm would have to come off its medial edge, 12 mm may',
  ])
  expect(trimFaults(SIZE, lateral(88), RULES)).toEqual([])
  expect(trimFaults(SIZE, lateral(87.5), RULES)).toHaveLength(1)
})

test('the gap is the girth of the instep less that of the shell', () => {
  expect(closureGap(SIZE, instep(123))).toBe(13)
  expect(closureGap(SIZE, instep(105))).toBe(-5)
  expect(closureGap(SIZE, {})).toBe('unknown')
})

const said = (mm: number) =>
  closureWarnings({ size: SIZE, side: 'left', used: instep(mm) }, RULES).map(
    ({ because }) => because,
  )

test('13 mm give or take 6 is right: 117 to 129 mm around the instep', () => {
  expect(said(117)).toEqual([])
  expect(said(129)).toEqual([])
  expect(said(116.5)[0]).toMatch(/leave only 6.5 mm: take 6.5 mm off/)
  expect(said(129.5)[0]).toMatch(/19.5 mm open, more than 19: a larger size/)
  expect(said(105)[0]).toMatch(/overlap by 5.0 mm: take 18.0 mm off/)
})

test('only a gap over 19 mm is wide', () => {
  expect(gapIsWide(SIZE, instep(129), RULES)).toBe(false)
  expect(gapIsWide(SIZE, instep(129.1), RULES)).toBe(true)
  expect(gapIsWide(SIZE, {}, RULES)).toBe(false)
})

test('a gap that is not known asks for the instep girth', () => {
  const found = closureWarnings({ size: SIZE, side: 'right', used: {} }, RULES)

  expect(found).toMatchObject([{ rule: 'closure-gap.right', holds: 'unknown' }])
  expect(found[0]?.because).toContain('measure around the instep')
})
