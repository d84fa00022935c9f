import { expect, test } from 'vitest'
import type { Child, Foot } from '../../../src/domain/child.ts'
import { suitability } from '../../../src/domain/decision/suitability.ts'
import { degrees } from '../../../src/domain/units.ts'
import { child, fact, foot } from '../../helpers/child.ts'
import {
  affectedFoot,
  agesAt,
  assess,
  fpiOf,
  knownChild,
  milestonesWith,
  noTempo,
  tempoWith,
} from '../../helpers/findings.ts'
import { RULES } from '../../helpers/rules.ts'
import { speaker } from '../../../src/domain/messages/speaker.ts'
import { faultsInVoices } from '../../helpers/every-voice.ts'

const english = speaker('en')
const spanish = speaker('es')

const found = (...args: Parameters<typeof assess>) => suitability(assess(...args), RULES)
const outcome = (...args: Parameters<typeof assess>) => found(...args).outcome
const stated = ({ statements }: ReturnType<typeof found>) =>
  statements.map(english.therapist).join(' ')
const feet = (left: Partial<Foot>, right: Partial<Foot> = {}) => ({
  feet: { left: affectedFoot(left), right: affectedFoot(right) },
})

test('a child that meets every criterion and walks alone is suitable', () => {
  const answer = found(knownChild())

  expect(answer.outcome).toBe('suitable')
  expect(answer.missing).toEqual([])
  expect(answer.pathways).toEqual([])
  expect(answer).not.toHaveProperty('recheckOn')
  expect(answer.statements).toHaveLength(1)
})

test('a child that bears weight and does not walk alone is suitable after review, with the trial', () => {
  for (const walksAlone of ['no', 'unknown'] as const) {
    const answer = found(knownChild(), { milestones: milestonesWith({ walksAlone }) })

    expect(answer.outcome).toBe('suitable-after-review')
    expect(english.therapist(answer.because)).toMatch(
      /first a review: walking alone is not established\.$/,
    )
    expect(stated(answer)).toMatch(/n = 17.*review at 4-8 weeks/)
  }
})

test('a red flag that holds asks for a review first', () => {
  const redFlags = { ...knownChild().redFlags, 'gowers-sign': fact(true) }
  const answer = found(knownChild({ redFlags }))

  expect(answer.outcome).toBe('suitable-after-review')
  expect(english.therapist(answer.because)).toMatch(/first a review: a red flag \(Gowers sign\)\.$/)
  expect(stated(answer)).toMatch(/^To be seen by a physician first: Gowers sign\. /)
})

test('red flags that nobody recorded do not hold the outcome back and are said to be not recorded', () => {
  const answer = found(knownChild({ redFlags: child().redFlags }))

  expect(answer.outcome).toBe('suitable')
  expect(answer.redFlags.filter(({ holds }) => holds === 'unknown').length).toBeGreaterThan(0)
  expect(stated(answer)).toMatch(/^Red flags not recorded, so not known to be absent: /)
})

const EXCLUDED: [string, Partial<Child>, RegExp][] = [
  ['raised tone', { ...feet({ ashworthCalf: fact('1+') }) }, /neurology/],
  [
    'a rigid foot',
    feet({
      tiptoeArchAndHeelInversion: fact(false),
      greatToeExtensionRaisesArch: fact(false),
      archSeenUnloaded: fact(false),
    }),
    /Rigid foot/,
  ],
  ['a fixed calf', feet({}, { ankleDorsiflexion: fact(degrees(-1)) }), /does not reach neutral/],
  ['open skin', feet({ openSkin: fact(true) }), /Open skin/],
  ['a foot without feeling', feet({}, { insensate: fact(true) }), /without feeling/],
]
for (const [name, known, pathway] of EXCLUDED)
  test(`${name}: unsuitable, with the pathway, and nothing more is asked`, () => {
    const answer = found(knownChild(known))

    expect(answer.outcome).toBe('unsuitable')
    expect(answer.pathways).toHaveLength(1)
    expect(answer.pathways.map(english.therapist)[0]).toMatch(pathway)
    expect(answer.missing).toEqual([])
    expect(outcome({ ...child(), feet: knownChild(known).feet })).toBe('unsuitable')
  })

const NOT_MET: [string, Partial<Child>, Parameters<typeof assess>[1]][] = [
  ['weight bearing', {}, { milestones: milestonesWith({ bearsWeight: 'no' }) }],
  ['low tone', { tone: fact('normal') }, {}],
  ['functional concern', {}, { tempo: tempoWith({ atLeast25: 0.1 }) }],
  [
    'excessive pronation',
    feet({ fpi: fact(fpiOf([1, 1, 0, 1, 1, 1])) }, { fpi: fact(fpiOf([1, 1, 1, 1, 1, 0])) }),
    {},
  ],
]
for (const [rule, known, asOf] of NOT_MET)
  test(`${rule} not met: watch, and the reason names it`, () => {
    const answer = found(knownChild(known), asOf)

    expect(answer.outcome).toBe('watch')
    expect(english.therapist(answer.because)).toBe(`Not met: ${rule}.`)
    expect(answer.missing).toEqual([])
  })

test('an age that the clinic does not see is told as an age, not as something missing in the child', () => {
  const old = found(knownChild(), { ages: agesAt(73) })
  const both = found(knownChild({ tone: fact('normal') }), { ages: agesAt(73) })

  expect([old.outcome, both.outcome]).toEqual(['watch', 'watch'])
  expect(english.therapist(old.because)).toBe(
    'The age lies outside the range that the clinic sees.',
  )
  expect(english.therapist(both.because)).toBe(
    'The age lies outside the range that the clinic sees. Not met: low tone.',
  )
})

test('watch has a day to look again; above the age it refers elsewhere instead', () => {
  const watched = found(knownChild({ tone: fact('normal') }))

  expect(watched.recheckOn).toBe('2026-06-01')
  expect(stated(watched)).toBe('To be looked at again on June 1, 2026.')
  expect(watched.statements.map(spanish.therapist)).toEqual([
    'Nueva valoración el 1 de junio de 2026.',
  ])

  const older = found(knownChild(), { ages: agesAt(73) })
  expect(older).not.toHaveProperty('recheckOn')
  expect(stated(older)).toMatch(/refer to a service for older children/)
})

test('a child of whom nothing is known is undetermined and every question is asked', () => {
  const answer = found(child(), {
    tempo: noTempo('no-observations'),
    milestones: milestonesWith({ bearsWeight: 'unknown', walksAlone: 'unknown' }),
  })

  expect(answer.outcome).toBe('undetermined')
  expect(answer.missing).toHaveLength(12)
})

/** What is taken out of the record of a suitable child, and the question that opens. */
const HIDDEN: [string, Partial<Child>, string][] = [
  ['tone and Ashworth', { tone: 'unknown', ...feet({ ashworthCalf: 'unknown' }) }, 'raised-tone'],
  ['the left ankle', feet({ ankleDorsiflexion: 'unknown' }), 'fixed-calf.left'],
  ['skin of the right foot', feet({}, { openSkin: 'unknown' }), 'skin-or-sensation.right'],
  ['feeling of the left foot', feet({ insensate: 'unknown' }), 'skin-or-sensation.left'],
  [
    'flexibility of the right foot',
    feet(
      {},
      {
        tiptoeArchAndHeelInversion: 'unknown',
        greatToeExtensionRaisesArch: 'unknown',
        archSeenUnloaded: 'unknown',
      },
    ),
    'flexible-foot.right',
  ],
  [
    'pronation of both feet',
    feet({ fpi: 'unknown' }, { fpi: 'unknown' }),
    'excessive-pronation.left',
  ],
]
for (const [name, known, rule] of HIDDEN)
  test(`without ${name} the child is undetermined and ${rule} is asked`, () => {
    const answer = found(knownChild(known))

    expect(answer.outcome).toBe('undetermined')
    expect(answer.missing.map((one) => one.rule)).toContain(rule)
  })

test('without weight bearing or an estimate the child is undetermined', () => {
  expect(outcome(knownChild(), { milestones: milestonesWith({ bearsWeight: 'unknown' }) })).toBe(
    'undetermined',
  )
  expect(outcome(knownChild(), { tempo: noTempo('no-observations') })).toBe('undetermined')
})

test('a foot that is not affected need not correct', () => {
  const left = foot({
    ...affectedFoot({ fpi: fact(fpiOf([0, 0, 0, 0, 0, 0])) }),
    tiptoeArchAndHeelInversion: fact(false),
    greatToeExtensionRaisesArch: fact(false),
    archSeenUnloaded: fact(false),
  })

  expect(outcome(knownChild({ feet: { left, right: affectedFoot() } }))).toBe('suitable')
})

test('the same child gives the same answer, byte for byte', () => {
  expect(JSON.stringify(found(child()))).toBe(JSON.stringify(found(child())))
})

test('a red flag and walking that is not established are both said to need a look first', () => {
  const redFlags = { ...knownChild().redFlags, 'gowers-sign': fact(true) }
  const { because } = found(knownChild({ redFlags }), {
    milestones: milestonesWith({ walksAlone: 'unknown' }),
  })

  expect(english.therapist(because)).toBe(
    'All criteria are met and no exclusion holds; first a review: a red flag (Gowers sign), and walking alone is not established.',
  )
  expect(english.family(because)).toBe(
    'Supports may help your child. First, a doctor should look at this: pushing with the hands on the legs to stand up. We also do not know that your child walks alone yet, so your orthotist looks carefully at whether to try them now.',
  )
})

test('an outcome that is not known is not told to the family as fine', () => {
  const { because } = found(knownChild(feet({ openSkin: 'unknown' })))

  expect(english.therapist(because)).toBe('Not known: open skin or loss of sensation.')
  expect(english.family(because)).toBe(
    'We cannot say yet whether supports are right for your child. We still need to know more about: open skin or a foot that does not feel.',
  )
})

test('every outcome can be said with its statements and pathways, in each language and voice', () => {
  const answers = [
    found(knownChild()),
    found(knownChild(), { milestones: milestonesWith({ walksAlone: 'no' }) }),
    found(knownChild({ tone: fact('normal') })),
    found(knownChild({ redFlags: child().redFlags }), { ages: agesAt(73) }),
    found(child()),
    ...EXCLUDED.map(([, known]) => found(knownChild(known))),
  ]

  expect(new Set(answers.map((answer) => answer.outcome)).size).toBe(5)
  for (const { because, statements, pathways, missing } of answers)
    expect(
      faultsInVoices([because, ...statements, ...pathways, ...missing.map((one) => one.because)]),
    ).toEqual([])
})

test('an exclusion that holds is named, those that do not hold are not', () => {
  const { because } = found(knownChild(feet({ openSkin: fact(true) })))

  expect(english.therapist(because)).toBe('An exclusion holds: open skin or loss of sensation.')
})

test('a child of the last month that the clinic sees is not sent to a service for older ones', () => {
  expect(stated(found(knownChild(), { ages: agesAt(72) }))).not.toMatch(/older children/)
})

test('a test and milestones that disagree are told with the outcome, else nothing is', () => {
  const tested = (z: number) => knownChild({ standardised: fact({ kind: 'z-score', z }) })

  expect(stated(found(tested(0)))).toMatch(/standardised test and the milestones disagree/)
  expect(stated(found(tested(-2)))).not.toMatch(/disagree/)
})
