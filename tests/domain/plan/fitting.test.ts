import * as fc from 'fast-check'
import { expect, test } from 'vitest'
import { fittingPlan } from '../../../src/domain/plan/fitting.ts'
import { together } from '../../../src/domain/messages/message.ts'
import { speaker } from '../../../src/domain/messages/speaker.ts'
import { faultsInVoices } from '../../helpers/every-voice.ts'
import { NO_TEMPO, planFacts, postureOf, suitabilityOf, walking } from '../../helpers/plans.ts'
import { RULES } from '../../helpers/rules.ts'

const en = speaker('en')
const NOTHING = together([])

const planned = (known: Parameters<typeof planFacts>[0] = {}) =>
  fittingPlan(planFacts(known), RULES)

for (const outcome of ['suitable', 'suitable-after-review'] as const) {
  test(`${outcome}: a plan`, () => {
    expect(planned({ suitability: suitabilityOf({ outcome }) }).devices).toHaveLength(2)
  })
}

for (const outcome of ['watch', 'unsuitable', 'undetermined'] as const) {
  test(`${outcome}: no plan`, () => {
    const plan = () => planned({ suitability: suitabilityOf({ outcome }) })

    expect(plan).toThrow(expect.objectContaining({ kind: 'business-rule' }))
    expect(plan).toThrow(`needs a suitable child; the outcome is ${outcome}`)
  })
}

test('only the foot with excessive pronation gets a device, checks and a remark on the other', () => {
  const plan = planned({ posture: postureOf('no', 'yes') })

  expect(plan.devices.map(({ side }) => side)).toEqual(['right'])
  expect(plan.fitCheck.some(({ side }) => side === 'left')).toBe(false)
  expect(en.therapist(plan.cautions[0] ?? NOTHING)).toContain('left foot')
})

test('a foot of which nothing is known gets no device', () => {
  const plan = planned({ posture: postureOf('yes', 'unknown') })

  expect(plan.devices.map(({ side }) => side)).toEqual(['left'])
})

test('without a foot that is known to pronate there is no plan', () => {
  const plan = () => planned({ posture: postureOf('unknown', 'no') })

  expect(plan).toThrow(expect.objectContaining({ kind: 'business-rule' }))
  expect(plan).toThrow('needs a foot with excessive pronation')
})

test('each device carries the size of its own foot', () => {
  const { devices } = planned()

  expect(devices.map(({ side, sizing }) => [side, sizing.side, sizing.size?.code])).toEqual([
    ['left', 'left', 'G5'],
    ['right', 'right', 'G5'],
  ])
})

test('delivery is proposed four weeks after the plan', () => {
  expect(planned()).toMatchObject({ proposedOn: '2026-03-01', deliveryOn: '2026-03-29' })
  expect(planned().followUps[0]).toMatchObject({ id: 'delivery', on: '2026-03-29' })
})

test('the refit date of the sizing becomes a visit', () => {
  const plan = planned()

  expect(plan.followUps.find(({ id }) => id === 'refit')?.on).toBe(
    plan.devices[0]?.sizing.refit?.median,
  )
})

test('a child who does not walk yet has the trial in cautions and visits', () => {
  const plan = planned({ milestones: walking('no') })

  expect(en.therapist(plan.cautions[0] ?? NOTHING)).toContain(
    'only randomised trial before walking',
  )
  expect(
    plan.followUps.filter(({ wording }) => en.therapist(wording).includes('Trial')),
  ).toHaveLength(2)
})

test('without a tempo the plan stands, without milestone goals', () => {
  expect(planned({ tempo: NO_TEMPO }).goals).toHaveLength(2)
  expect(planned().goals).toHaveLength(4)
})

test('every sentence is said in every voice; the family is promised nothing and spared the jargon', () => {
  const plan = planned({ milestones: walking('no'), posture: postureOf('yes', 'no') })
  const messages = [
    ...plan.devices.flatMap(({ materials, shoe }) => [...materials, ...shoe]),
    ...plan.fitCheck.map(({ question }) => question),
    plan.wear.wording,
    ...plan.goals.map(({ wording }) => wording),
    ...plan.followUps.map(({ wording }) => wording),
    ...plan.stopRules,
    ...plan.cautions,
    ...plan.evidence,
  ]

  expect(faultsInVoices(messages)).toEqual([])
  for (const family of messages.map(en.family)) {
    expect(family).not.toMatch(/metatarsal|sulcus|pronat|orthos[ei]s|guarantee|promise|\bcure/i)
  }
  for (const family of messages.map(speaker('es').family)) {
    expect(family).not.toMatch(/metatarsi|surco|pronaci|[óo]rtesis\b|garantiz|promet|\bcura/i)
  }
})

test('the plan calls itself a proposal and states its evidence', () => {
  expect(planned().cautions.some((one) => en.therapist(one).startsWith('A proposal'))).toBe(true)
  expect(planned().evidence.length).toBeGreaterThan(0)
  expect(planned().stopRules.length).toBeGreaterThan(0)
})

test('same facts and rules: same plan', () => {
  const truth = fc.constantFrom('yes' as const, 'no' as const, 'unknown' as const)
  fc.assert(
    fc.property(truth, truth, (other, walks) => {
      const facts = { posture: postureOf('yes', other), milestones: walking(walks) }

      expect(planned(facts)).toEqual(planned(facts))
    }),
  )
})
