import { expect, test } from 'vitest'
import {
  type Child,
  type DescribedSkill,
  DESCRIBED_SKILLS,
  MILESTONES,
} from '../../../src/domain/child.ts'
import { newSinceFitting } from '../../../src/domain/follow-up/new-since-fitting.ts'
import { speaker } from '../../../src/domain/messages/speaker.ts'
import { faultsInVoices } from '../../helpers/every-voice.ts'
import { dayOf, look, skillLook, visit } from '../../helpers/checks.ts'
import { child } from '../../helpers/child.ts'
import { RULES } from '../../helpers/rules.ts'

const en = speaker('en')

/** Fitted on day 400, seen on day 484. */
const of = (milestoneChecks: Child['milestoneChecks'], skillChecks: Child['skillChecks'] = []) =>
  newSinceFitting(
    child({ milestoneChecks, skillChecks }),
    { fittedOn: dayOf(400), asOf: dayOf(484) },
    RULES,
  )
const walking = (...looks: readonly (readonly [number, boolean])[]) =>
  of(looks.map(([day, seen]) => look('walking-alone', day, seen))).milestones.find(
    ({ what }) => what === 'walking-alone',
  )
const running = (...looks: readonly (readonly [number, boolean])[]) =>
  of(
    [],
    looks.map(([day, seen]) => skillLook('running', day, seen)),
  ).skills.find(({ what }) => what === 'running')

for (const [name, of] of [
  ['milestone', walking],
  ['described skill', running],
] as const) {
  test(`a ${name} not there on the day of the fitting and seen later is new`, () => {
    expect(of([400, false], [401, true])).toMatchObject({ state: 'new', finding: { holds: 'yes' } })
    expect(of([450, false], [484, true])?.state).toBe('new')
  })

  test(`a ${name} not looked for at the fitting may have been there: unclear`, () => {
    expect(of([399, false], [484, true])).toMatchObject({
      state: 'unclear',
      finding: { holds: 'unknown' },
    })
    expect(of([484, true])?.state).toBe('unclear')
  })

  test(`a ${name} seen by the day of the fitting was there`, () => {
    expect(of([400, true])).toMatchObject({ state: 'had', finding: { holds: 'no' } })
    expect(of([300, false], [400, true])?.state).toBe('had')
    expect(of([401, true])?.state).toBe('unclear')
  })

  test(`a ${name} not there is so by a look of the last 14 days; an older one is unknown`, () => {
    expect(of([470, false])).toMatchObject({ state: 'not-yet', finding: { holds: 'no' } })
    expect(of([469, false])).toMatchObject({ state: 'unknown', finding: { holds: 'unknown' } })
  })

  test(`a ${name} nobody looked at is unknown, and so is what is seen after the visit`, () => {
    expect(of()).toMatchObject({ state: 'unknown', finding: { holds: 'unknown', evidence: [] } })
    expect(of([485, true])?.state).toBe('unknown')
    expect(of([400, false], [484, false], [485, true])?.state).toBe('not-yet')
  })
}

test('a milestone seen and not seen at the latest look after the fitting is lost', () => {
  expect(walking([300, true], [401, false])).toMatchObject({
    state: 'lost',
    finding: { holds: 'no' },
  })
  expect(walking([410, true], [484, false])?.state).toBe('lost')
})

test('a loss of before the fitting, or one that came back, is unclear', () => {
  expect(walking([300, true], [400, false])?.state).toBe('unclear')
  expect(walking([300, true], [410, false], [484, true])?.state).toBe('unclear')
})

test('a described skill that is no longer seen, or contradicts itself, is unclear', () => {
  expect(running([300, true], [484, false])?.state).toBe('unclear')
  expect(running([484, true], [484, false])?.state).toBe('unclear')
})

test('what is lost is told by the looks at that milestone up to the visit, in any order', () => {
  const stands = look('standing-alone', 484, true)
  const lost = [look('walking-alone', 300, true), look('walking-alone', 401, false)]
  const stateOf = (checks: Child['milestoneChecks']) =>
    of(checks).milestones.find(({ what }) => what === 'walking-alone')?.state

  expect(stateOf([...lost, stands])).toBe('lost')
  expect(stateOf([...lost, look('walking-alone', 485, true)])).toBe('lost')
  expect(stateOf(lost.toReversed())).toBe('lost')
})

test('a look at one described skill says nothing of another', () => {
  const { skills } = of([], [skillLook('creeping-upstairs', 484, true)])

  expect(skills.filter(({ state }) => state !== 'unknown').map(({ what }) => what)).toEqual([
    'creeping-upstairs',
  ])
})

test('crawling is left out when a child who walks never crawled', () => {
  const listed = (checks: Child['milestoneChecks']) => of(checks).milestones.map(({ what }) => what)

  expect(listed([look('walking-alone', 300, true)])).toEqual([
    'sitting-without-support',
    'standing-with-assistance',
    'walking-with-assistance',
    'standing-alone',
    'walking-alone',
  ])
  expect(listed([look('walking-alone', 484, false)])).toContain('hands-and-knees-crawling')
  expect(listed(visit(300, MILESTONES))).toContain('hands-and-knees-crawling')
})

test('all are given in their order, with rule, words and evidence', () => {
  const found = of(visit(484, []), [skillLook('running', 484, false)])

  expect(found.milestones.map(({ what }) => what)).toEqual([...MILESTONES])
  expect(found.skills.map(({ what }) => what)).toEqual<DescribedSkill[]>([...DESCRIBED_SKILLS])
  for (const { finding } of found.milestones)
    expect(finding.sources).toEqual(['who-motor-2006', 'judgement'])
  for (const { finding } of found.skills)
    expect(finding.sources).toEqual(['common-practice', 'judgement'])
  const runs = found.skills.filter(({ what }) => what === 'running').map(({ finding }) => finding)
  expect(runs).toMatchObject([
    {
      rule: 'new-since-fitting.running',
      evidence: ['Observation/running-484-false/_history/1'],
    },
  ])
  expect(runs.map(({ because }) => en.therapist(because))).toEqual([
    'Not there at the latest look: running.',
  ])
})

test('every state of every milestone and skill is said in every voice', () => {
  const lookings = [
    [],
    [
      [400, false],
      [401, true],
    ],
    [[400, true]],
    [[470, false]],
    [[484, true]],
  ]
  const found = lookings.flatMap((looks) => {
    const days = looks.map(([day, seen]) => [Number(day), seen === true] as const)
    const { milestones, skills } = of(
      days.flatMap(([day, seen]) => MILESTONES.map((one) => look(one, day, seen))),
      days.flatMap(([day, seen]) => DESCRIBED_SKILLS.map((one) => skillLook(one, day, seen))),
    )
    return [...milestones, ...skills]
  })
  const lost = of([look('walking-alone', 300, true), look('walking-alone', 484, false)]).milestones
  const all = [...found, ...lost]

  expect(new Set(all.map(({ state }) => state)).size).toBe(6)
  expect(faultsInVoices(all.map(({ finding }) => finding.because))).toEqual([])
})

test('the family reads the skill in its own words and language', () => {
  const [sits] = of(visit(484, MILESTONES)).milestones

  expect(sits && en.family(sits.finding.because)).toBe(
    'We cannot tell whether this came before or after the supports: sitting without support.',
  )
  expect(sits && speaker('es').family(sits.finding.because)).toMatch(/: sentarse sin apoyo\.$/)
})
