import { expect, test } from 'vitest'
import {
  EVIDENCE,
  materials,
  shoeAdvice,
  standingCautions,
  stopRules,
} from '../../../src/domain/plan/plan-wording.ts'
import { sizedFoot } from '../../helpers/plans.ts'
import { RULES } from '../../helpers/rules.ts'

test('a foot without a ready size says so before the material', () => {
  const because = 'no size of the chart fits'

  expect(materials(sizedFoot())[0]?.therapist).toContain('flexible shell')
  expect(materials(sizedFoot({ state: 'custom', because }))[0]?.therapist).toBe(
    `Made to measure: ${because}.`,
  )
  expect(materials(sizedFoot({ state: 'unknown', because }))[0]?.family).toContain(
    'measure this foot',
  )
})

test('the shoe is firm at the heel, opens low, one size up, heel at most 15 mm, insole out', () => {
  const [advice] = shoeAdvice(RULES)

  expect(advice?.therapist).toMatch(
    /Firm heel counter.*opens low.*removable insole.*one size up.*15 mm/,
  )
  expect(advice?.family).toMatch(/insole you can take out.*one size larger.*15 mm/)
})

test('more than one size up is written in the plural', () => {
  const fitting = { ...RULES.fitting, shoeSizesUp: 2 }

  expect(shoeAdvice({ ...RULES, fitting })[0]?.family).toContain('2 sizes larger')
})

test('the first stop rule names skin, pain and breakage, with 20 and 30 minutes', () => {
  const [first] = stopRules(RULES)

  expect(first?.therapist).toMatch(
    /30 minutes, swelling, pain, rash, blister, broken skin.*broken device/,
  )
  expect(first?.therapist).toContain('Over 20 minutes')
  expect(first?.family).toMatch(/30 minutes.*20 minutes/)
})

test('the first caution calls the plan a proposal for the orthotist to approve', () => {
  const [first, second] = standingCautions('Invented chart.')

  expect(first?.therapist).toBe('A proposal for the orthotist to approve.')
  expect(second?.therapist).toMatch(/^Decision support for a qualified professional/)
})

test('the cautions carry the note of the chart and the limits of the figures', () => {
  const all = standingCautions('Invented chart.').map(({ therapist }) => therapist)

  expect(all).toContain('Size chart: Invented chart.')
  expect(all.join(' ')).toMatch(/27 %.*payer rules.*physician.*1975-77/s)
})

test('the evidence includes the trial that found no benefit before walking', () => {
  expect(EVIDENCE.join(' ')).toMatch(/lower gross motor scores one month after walking onset/)
})
