import { expect, test } from 'vitest'
import type { Message } from '../../../src/domain/messages/message.ts'
import { speaker } from '../../../src/domain/messages/speaker.ts'
import {
  EVIDENCE,
  materials,
  shoeAdvice,
  standingCautions,
  stopRules,
} from '../../../src/domain/plan/plan-wording.ts'
import { GENERIC_SIZE_CHART } from '../../../src/domain/tables/generic-size-chart.ts'
import { faultsInVoices } from '../../helpers/every-voice.ts'
import { sizedFoot, SOMETHING_SAID } from '../../helpers/plans.ts'
import { RULES } from '../../helpers/rules.ts'

const en = speaker('en')
const therapist = (messages: readonly Message[]) => messages.map(en.therapist)
const family = (messages: readonly Message[]) => messages.map(en.family)
const NOTE = { note: 'Invented chart.' }

test('a foot without a ready size says so before the material', () => {
  const without = (state: 'custom' | 'unknown') => materials({ state, because: SOMETHING_SAID })

  expect(therapist(materials(sizedFoot()))[0]).toContain('flexible shell')
  expect(therapist(without('custom'))).toHaveLength(3)
  expect(therapist(without('custom'))[0]).toBe('Made to measure. running')
  expect(therapist(without('unknown'))[0]).toBe('No size yet. running')
  expect(family(without('unknown'))[0]).toContain('measure this foot')
})

test('the shoe is firm at the heel, opens low, one size up, heel at most 15 mm, insole out', () => {
  expect(therapist(shoeAdvice(RULES))[0]).toMatch(
    /Firm heel counter.*opens low.*removable insole.*one size up.*15 mm/,
  )
  expect(family(shoeAdvice(RULES))[0]).toMatch(/insole you can take out.*one size larger.*15 mm/)
})

test('more than one size up is written in the plural', () => {
  const fitting = { ...RULES.fitting, shoeSizesUp: 2 }
  const two = shoeAdvice({ ...RULES, fitting })

  expect(family(two)[0]).toContain('2 sizes larger')
  expect(two.map(speaker('es').therapist)[0]).toContain('2 tallas más')
})

test('the first stop rule names skin, pain and breakage, with 20 and 30 minutes', () => {
  const first = stopRules(RULES).slice(0, 1)

  expect(therapist(first)[0]).toMatch(
    /30 minutes, swelling, pain, rash, blister, broken skin.*broken device/,
  )
  expect(therapist(first)[0]).toContain('Over 20 minutes')
  expect(family(first)[0]).toMatch(/30 minutes.*20 minutes/)
})

test('the first caution calls the plan a proposal for the orthotist to approve', () => {
  const [first, second] = therapist(standingCautions(NOTE))

  expect(first).toBe('A proposal for the orthotist to approve.')
  expect(second).toMatch(/^Decision support for a qualified professional/)
})

test('the cautions carry the note of the chart and the limits of the figures', () => {
  const all = therapist(standingCautions(NOTE))

  expect(all).toContain('Size chart: Invented chart.')
  expect(all.join(' ')).toMatch(/27 %.*payer rules.*physician.*1975-77/s)
})

test('the note of the generic chart is said in the language, with the same words in English', () => {
  const generic = standingCautions(GENERIC_SIZE_CHART)

  expect(therapist(generic).at(-1)?.toLowerCase()).toBe(
    `size chart: ${GENERIC_SIZE_CHART.note.replace('Generic:', 'generic,')}`.toLowerCase(),
  )
  expect(generic.map(speaker('es').therapist).at(-1)).toMatch(/^Tabla de tallas: genérica/)
})

test('the evidence includes the trial that found no benefit before walking', () => {
  expect(therapist(EVIDENCE).join(' ')).toMatch(
    /lower gross motor scores one month after walking onset/,
  )
  expect(family(EVIDENCE).join(' ')).toMatch(/moved less well.*cannot be sure how much/)
})

test('all is said in every voice', () => {
  expect(
    faultsInVoices([
      ...materials(sizedFoot()),
      ...shoeAdvice(RULES),
      ...stopRules(RULES),
      ...standingCautions(NOTE),
      ...standingCautions(GENERIC_SIZE_CHART),
      ...EVIDENCE,
    ]),
  ).toEqual([])
})
