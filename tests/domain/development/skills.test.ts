import { expect, test } from 'vitest'
import { attainment } from '../../../src/domain/development/attainment.ts'
import {
  type Child,
  DESCRIBED_SKILLS,
  type DescribedSkill,
  MILESTONES,
} from '../../../src/domain/child.ts'
import { speaker } from '../../../src/domain/messages/speaker.ts'
import { bearsWeight, describedSkills } from '../../../src/domain/development/skills.ts'
import { dayOf, look, skillLook } from '../../helpers/checks.ts'
import { child } from '../../helpers/child.ts'
import { faultsInVoices } from '../../helpers/every-voice.ts'
import { RULES } from '../../helpers/rules.ts'

const TODAY = dayOf(500)
const holds = (known: Partial<Child>, skill: DescribedSkill, asOf = TODAY) =>
  describedSkills(child(known), asOf).find((one) => one.skill === skill)?.finding.holds

test('every described skill is reported, unknown when nobody looked', () => {
  const found = describedSkills(child(), TODAY)

  expect(found.map(({ skill }) => skill)).toEqual(DESCRIBED_SKILLS)
  expect(new Set(found.map(({ finding }) => finding.holds))).toEqual(new Set(['unknown']))
})

test('the latest look counts', () => {
  const skillChecks = [skillLook('running', 450, true), skillLook('running', 400, false)]

  expect(holds({ skillChecks }, 'running')).toBe('yes')
  expect(holds({ skillChecks }, 'running', dayOf(450))).toBe('yes')
  expect(holds({ skillChecks }, 'running', dayOf(449))).toBe('no')
  expect(holds({ skillChecks }, 'cruising')).toBe('unknown')
})

test('two looks of one day that disagree are unknown, with both as evidence', () => {
  const skillChecks = [skillLook('running', 450, true), skillLook('running', 450, false)]
  const running = describedSkills(child({ skillChecks }), TODAY).find(
    ({ skill }) => skill === 'running',
  )

  expect(running?.finding.holds).toBe('unknown')
  expect(running?.finding.evidence).toHaveLength(2)
})

test('a skill checked before birth is refused', () => {
  expect(() =>
    describedSkills(child({ skillChecks: [skillLook('rolling', -1, true)] }), TODAY),
  ).toThrow(
    expect.objectContaining({
      element: 'skillChecks',
      message: 'a skill was checked before birth',
    }),
  )
  expect(holds({ skillChecks: [skillLook('rolling', 0, false)] }, 'rolling')).toBe('no')
})

const WEIGHT_BEARING = [
  'standing-with-assistance',
  'walking-with-assistance',
  'standing-alone',
  'walking-alone',
] as const

const found = (known: Partial<Child>) => {
  const one = child(known)
  const attainments = MILESTONES.map((milestone) => attainment(one, milestone, TODAY, RULES))
  return bearsWeight(attainments, describedSkills(one, TODAY))
}
const weight = (known: Partial<Child>) => found(known).holds
const notStanding = WEIGHT_BEARING.map((milestone) => look(milestone, 450, false))

for (const milestone of WEIGHT_BEARING)
  test(`${milestone} alone shows that the child bears weight`, () => {
    expect(weight({ milestoneChecks: [look(milestone, 450, true)] })).toBe('yes')
  })

test('pulling to stand alone shows that the child bears weight', () => {
  expect(weight({ skillChecks: [skillLook('pulling-to-stand', 450, true)] })).toBe('yes')
})

test('bearing weight is denied only when each of the five was looked for', () => {
  const skillChecks = [skillLook('pulling-to-stand', 450, false)]

  expect(weight({ milestoneChecks: notStanding, skillChecks })).toBe('no')
  expect(weight({ milestoneChecks: notStanding })).toBe('unknown')
  expect(weight({ milestoneChecks: notStanding.slice(1), skillChecks })).toBe('unknown')
})

test('sitting, crawling and cruising say nothing about bearing weight', () => {
  expect(
    weight({
      milestoneChecks: [
        look('sitting-without-support', 450, true),
        look('hands-and-knees-crawling', 450, true),
      ],
      skillChecks: [skillLook('cruising', 450, true)],
    }),
  ).toBe('unknown')
})

test('standing that was lost does not count any more', () => {
  const milestoneChecks = [look('standing-with-assistance', 400, true), ...notStanding]

  expect(
    weight({ milestoneChecks, skillChecks: [skillLook('pulling-to-stand', 450, false)] }),
  ).toBe('no')
})

test('what shows, denies or leaves open that the child bears weight is named', () => {
  const pulls = (attained: boolean) => [skillLook('pulling-to-stand', 450, attained)]
  const [yes, no, open] = [
    found({ skillChecks: pulls(true) }),
    found({ milestoneChecks: notStanding, skillChecks: pulls(false) }),
    found({ milestoneChecks: notStanding }),
  ].map(({ because }) => because)
  if (yes === undefined || no === undefined || open === undefined) throw new Error('three')
  const en = speaker('en')

  expect(en.therapist(yes)).toBe('Bears weight: pulling to stand.')
  expect(en.family(yes)).toBe('Your child takes weight on the feet: pulling up to standing.')
  expect(en.therapist(no)).toMatch(
    /^Does not bear weight.*standing alone, walking alone, and pulling/,
  )
  expect(en.therapist(open)).toBe(
    'Not known whether weight is borne: none seen, and no check that decides pulling to stand.',
  )
  expect(en.family(open)).toMatch(/^We do not know yet/)
  expect(speaker('es').family(yes)).toBe(
    'Su hijo o hija apoya su peso en los pies: ponerse de pie agarrándose.',
  )
  expect(faultsInVoices([yes, no, open])).toEqual([])
})

test('each state of a described skill can be told, by its name and without a number', () => {
  const checks = [
    skillLook('running', 450, true),
    skillLook('cruising', 450, false),
    skillLook('rolling', 450, true),
    skillLook('rolling', 450, false),
  ]
  const all = describedSkills(child({ skillChecks: checks }), TODAY)
  const told = (skill: DescribedSkill) => {
    const because = all.find((one) => one.skill === skill)?.finding.because
    return because === undefined ? '' : speaker('en').therapist(because)
  }

  expect(told('running')).toBe('Seen at the latest look, described and not measured: running.')
  expect(told('cruising')).toBe(
    'Not seen at the latest look, described and not measured: cruising.',
  )
  expect(told('rolling')).toBe('The latest checks disagree, so it is not known: rolling over.')
  expect(told('creeping-upstairs')).toBe('No check on record: creeping upstairs.')
  expect(faultsInVoices(all.map(({ finding }) => finding.because))).toEqual([])
})
