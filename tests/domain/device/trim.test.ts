import { expect, test } from 'vitest'
import {
  closure,
  closureGap,
  gapIsWide,
  trimFaults,
  trims,
} from '../../../src/domain/device/trim.ts'
import { speaker } from '../../../src/domain/messages/speaker.ts'
import { faultsInVoices } from '../../helpers/every-voice.ts'
import { size, usedOf } from '../../helpers/plans.ts'
import { RULES } from '../../helpers/rules.ts'

/** Plates 95 and 98 mm, trim up to 12 mm; the edges belong 4 and 2 mm short of the landmarks. */
const SIZE = size()
const en = speaker('en')
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
  expect(en.therapist(inner.because)).toMatch(/measure it: heel to first metatarsal head/)
  expect(outer.mm).toBe('unknown')
  expect(en.therapist(outer.because)).toMatch(/measure it: heel to fifth-toe sulcus/)
  expect(trimFaults(SIZE, {}, RULES)).toEqual([])
})

const faults = (used: Parameters<typeof trimFaults>[1]) =>
  trimFaults(SIZE, used, RULES).map((fault) => en.therapist(fault))

test('nothing to trim is right, a plate that is too short is not', () => {
  expect(trimFaults(SIZE, medial(99), RULES)).toEqual([])
  expect(faults(medial(99.5))).toEqual(['Its medial plate is 0.5 mm too short.'])
  expect(trimFaults(SIZE, lateral(100), RULES)).toEqual([])
  expect(trimFaults(SIZE, lateral(100.5), RULES)).toHaveLength(1)
})

test('12 mm may come off, 12.5 may not', () => {
  expect(trimFaults(SIZE, medial(87), RULES)).toEqual([])
  expect(faults(medial(86.5))).toEqual([
    'Too long: 12.5 mm would have to come off its medial edge, 12 mm may.',
  ])
  expect(trimFaults(SIZE, lateral(88), RULES)).toEqual([])
  expect(trimFaults(SIZE, lateral(87.5), RULES)).toHaveLength(1)
})

test('the gap is the girth of the instep less that of the shell', () => {
  expect(closureGap(SIZE, instep(123))).toBe(13)
  expect(closureGap(SIZE, instep(105))).toBe(-5)
  expect(closureGap(SIZE, {})).toBe('unknown')
})

const closureAt = (mm: number) => closure({ size: SIZE, side: 'left', used: instep(mm) }, RULES)
const said = (mm: number) => closureAt(mm).warnings.map(({ because }) => en.therapist(because))

test('13 mm give or take 6 is right: 117 to 129 mm around the instep', () => {
  expect(said(117)).toEqual([])
  expect(said(129)).toEqual([])
  expect(said(116.5)[0]).toMatch(/leave only 6.5 mm: take 6.5 mm off/)
  expect(said(129.5)[0]).toMatch(/19.5 mm open, more than 19 mm: a larger size/)
  expect(said(105)[0]).toMatch(/overlap by 5 mm: take 18 mm off/)
})

test('only a gap over 19 mm is wide', () => {
  expect(gapIsWide(SIZE, instep(129), RULES)).toBe(false)
  expect(gapIsWide(SIZE, instep(129.1), RULES)).toBe(true)
  expect(gapIsWide(SIZE, {}, RULES)).toBe(false)
})

test('a gap that is not known asks for the instep girth', () => {
  const found = closure({ size: SIZE, side: 'right', used: {} }, RULES)

  expect(found.warnings).toMatchObject([{ rule: 'closure-gap.right', holds: 'unknown' }])
  expect(en.therapist(found.because)).toContain('measure around the instep')
})

test('a closure that is right is said too, and warns of nothing', () => {
  const { because, warnings } = closureAt(123)

  expect(warnings).toEqual([])
  expect(en.therapist(because)).toBe(
    'The closure will stand 13 mm open, which is right: 13 mm give or take 6.',
  )
  expect(en.family(because)).toBe(
    'It should close well over the top of the foot, with a small gap as there should be.',
  )
})

test('a trim says what comes off which edge and why', () => {
  const [inner] = trims(SIZE, medial(92), RULES)

  expect(en.therapist(inner.because)).toBe(
    'Medial edge: 7 mm off the plate of 95 mm; the edge belongs 4 mm short of the landmark (heel to first metatarsal head), measured 92 mm.',
  )
  expect(en.family(inner.because)).toBe(
    'About 7 mm are cut off the front edge on the big-toe side, so that the toes can bend freely.',
  )
  expect(speaker('es').family(inner.because)).toBe(
    'Se recortan unos 7 mm del borde de adelante en el lado del dedo gordo, para que los dedos se doblen libremente.',
  )
})

test('an edge that needs nothing, or whose plate is too short, says so with its landmark', () => {
  const [right] = trims(SIZE, medial(99), RULES)
  const [short] = trims(SIZE, medial(99.5), RULES)
  const [, outer] = trims(SIZE, lateral(100.5), RULES)

  expect([right.mm, short.mm]).toEqual([0, -0.5])
  expect(en.therapist(right.because)).toBe(
    'Medial edge: nothing off the plate of 95 mm; the edge belongs 4 mm short of the landmark (heel to first metatarsal head), measured 99 mm.',
  )
  expect(en.therapist(short.because)).toBe(
    'Medial edge: the plate of 95 mm is 0.5 mm too short; the edge belongs 4 mm short of the landmark (heel to first metatarsal head), measured 99.5 mm.',
  )
  expect(en.therapist(outer.because)).toBe(
    'Lateral edge: the plate of 98 mm is 0.5 mm too short; the edge belongs 2 mm short of the landmark (heel to fifth-toe sulcus), measured 100.5 mm.',
  )
})

test('a closure is said right at either end of the tolerance, and edges that meet as narrow', () => {
  expect(en.therapist(closureAt(117).because)).toMatch(/will stand 7 mm open, which is right/)
  expect(en.therapist(closureAt(129).because)).toMatch(/will stand 19 mm open, which is right/)
  expect(en.therapist(closureAt(110).because)).toMatch(/leave only 0 mm: take 13 mm off/)
})

test('a warning of the closure rests on the instep girth', () => {
  expect(closureAt(140).warnings).toMatchObject([
    {
      rule: 'closure-gap.left',
      holds: 'yes',
      sources: ['common-practice', 'judgement'],
      evidence: [usedOf({ 'instep-girth': 140 })['instep-girth']?.evidence],
    },
  ])
})

test('every outcome is said in both languages to both readers', () => {
  const feet = [{}, medial(92), medial(99), medial(99.5), lateral(94), lateral(80)]

  const messages = [
    ...feet.flatMap((used) => trims(SIZE, used, RULES).map(({ because }) => because)),
    ...feet.flatMap((used) => trimFaults(SIZE, used, RULES)),
    ...[105, 116, 123, 140].map((mm) => closureAt(mm).because),
    closure({ size: SIZE, side: 'right', used: {} }, RULES).because,
  ]

  expect(faultsInVoices(messages)).toEqual([])
})
