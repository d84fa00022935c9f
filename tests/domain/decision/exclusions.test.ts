import { expect, test } from 'vitest'
import { civilDate } from '../../../src/domain/calendar.ts'
import type { AshworthGrade, Child, Tone } from '../../../src/domain/child.ts'
import { PATHWAYS, raisedTone, skinOrSensation } from '../../../src/domain/decision/exclusions.ts'
import { child, fact, foot } from '../../helpers/child.ts'
import { RULES } from '../../helpers/rules.ts'
import { speaker } from '../../../src/domain/messages/speaker.ts'
import { faultsInVoices } from '../../helpers/every-voice.ts'

const english = speaker('en')
const spanish = speaker('es')

interface Looked {
  readonly tone?: Tone
  readonly left?: AshworthGrade
  readonly right?: AshworthGrade
  readonly coded?: boolean
  readonly otherPalsy?: boolean
  readonly disputed?: 'left' | 'right'
}
const found = ({ tone, left, right, coded, otherPalsy, disputed }: Looked) => {
  const calf = (grade?: AshworthGrade) =>
    foot(grade === undefined ? {} : { ashworthCalf: fact(grade) })
  const of: Partial<Child> = {
    feet: { left: calf(left), right: calf(right) },
    ...(tone !== undefined && { tone: fact(tone) }),
    ...(coded === true && { diagnoses: { 'spastic-cerebral-palsy': fact(true) } }),
    ...(otherPalsy === true && { diagnoses: { 'cerebral-palsy': fact(true) } }),
    ...(disputed !== undefined && {
      contradictions: [
        { fact: `ashworthCalf.${disputed}`, on: civilDate('2026-03-01'), evidence: [] },
      ],
    }),
  }
  return raisedTone({ child: child(of) }, RULES.suitability)
}
const raised = (looked: Looked) => found(looked).holds

const GRADES: [AshworthGrade, string][] = [
  ['0', 'no'],
  ['1', 'no'],
  ['1+', 'yes'],
  ['2', 'yes'],
  ['3', 'yes'],
  ['4', 'yes'],
]
for (const [grade, expected] of GRADES)
  test(`calves graded Ashworth ${grade}: raised tone ${expected}`, () => {
    expect(raised({ left: grade, right: grade })).toBe(expected)
  })

test('one calf at the limit is enough, even against an observation of low tone', () => {
  expect(raised({ left: '0', right: '1+' })).toBe('yes')
  expect(raised({ right: '2' })).toBe('yes')
  expect(raised({ tone: 'low', left: '2' })).toBe('yes')
})

test('spastic cerebral palsy coded is enough', () => {
  expect(raised({ coded: true })).toBe('yes')
  expect(raised({ coded: true, tone: 'low', left: '0', right: '0' })).toBe('yes')
})

test('tone observed low or normal answers it', () => {
  expect(raised({ tone: 'low' })).toBe('no')
  expect(raised({ tone: 'normal' })).toBe('no')
})

test('general tone does not stand in for the calf that was not graded beside the other', () => {
  expect(raised({ tone: 'normal', left: '1' })).toBe('unknown')
  expect(raised({ tone: 'normal', left: '1', right: '1' })).toBe('no')
})

test('grades of one calf that contradict each other are not outweighed by low tone', () => {
  expect(raised({ tone: 'low', disputed: 'left' })).toBe('unknown')
  expect(raised({ tone: 'low', disputed: 'left', right: '0' })).toBe('unknown')
  expect(raised({ tone: 'low', disputed: 'left', right: '2' })).toBe('yes')
})

test('cerebral palsy of another or no stated type asks for both calves', () => {
  expect(raised({ otherPalsy: true, tone: 'low' })).toBe('unknown')
  expect(raised({ otherPalsy: true, tone: 'low', left: '0', right: '1' })).toBe('no')
  expect(raised({ otherPalsy: true, right: '1+' })).toBe('yes')
})

test('raised tone nobody looked for is unknown, not absent', () => {
  expect(raised({})).toBe('unknown')
  expect(raised({ left: '0' })).toBe('unknown')
  expect(raised({ tone: 'raised' })).toBe('unknown')
  expect(raised({ tone: 'raised', left: '0' })).toBe('unknown')
  expect(raised({ tone: 'raised', left: '0', right: '1' })).toBe('no')
})

type Seen = boolean | undefined
const record = (seen: Seen) => (seen === undefined ? 'unknown' : fact(seen))
const skin = (openSkin: Seen, insensate: Seen) => {
  const of = foot({ openSkin: record(openSkin), insensate: record(insensate) })
  return skinOrSensation('left', { child: child({ feet: { left: of, right: foot() } }) })
}

const SKIN: [Seen, Seen, string][] = [
  [undefined, undefined, 'unknown'],
  [false, undefined, 'unknown'],
  [undefined, false, 'unknown'],
  [false, false, 'no'],
  [true, undefined, 'yes'],
  [undefined, true, 'yes'],
  [true, false, 'yes'],
  [false, true, 'yes'],
]
for (const [openSkin, insensate, expected] of SKIN)
  test(`open skin ${openSkin}, without feeling ${insensate}: ${expected}`, () => {
    expect(skin(openSkin, insensate)).toMatchObject({
      rule: 'skin-or-sensation.left',
      holds: expected,
    })
  })

test('the sentence tells what was looked for and what was not recorded', () => {
  expect(english.therapist(skin(false, undefined).because)).toBe(
    'Left foot: open skin looked for and not there; loss of feeling not recorded.',
  )
})

test('the family is told which foot, what is seen and who looks at it first', () => {
  expect(english.family(skin(true, false).because)).toBe(
    'Left foot: the skin is open. Please have a doctor look at this first. Then we think about supports again.',
  )
  expect(english.family(skin(true, true).because)).toMatch(/open and the foot does not feel well/)
  expect(english.family(skin(undefined, true).because)).toMatch(
    /^Left foot: the foot does not feel/,
  )
  expect(english.family(skin(undefined, false).because)).toMatch(/^We do not know yet/)
  expect(spanish.therapist(skin(true, undefined).because)).toBe(
    'Pie izquierdo: piel abierta registrada; pérdida de sensibilidad no registrada.',
  )
  expect(faultsInVoices(SKIN.map(([open, numb]) => skin(open, numb).because))).toEqual([])
})

/** Each reason that raised tone may have, in the order in which they are looked at. */
const REASONS: [Looked, RegExp, RegExp][] = [
  [{ coded: true }, /palsy is coded\.$/, /nerve doctor/],
  [{ left: '2' }, /Ashworth 1\+ or above/, /nerve doctor/],
  [{ left: '0', right: '1' }, /Both calves are graded below Ashworth 1\+/, /not too stiff/],
  [{ otherPalsy: true }, /not both calves are graded/, /do not know yet/],
  [{ disputed: 'left' }, /contradict each other/, /test it again/],
  [{ tone: 'low' }, /observed as low, and no calf was graded/, /are not stiff/],
  [{ tone: 'normal' }, /observed as normal, and no calf was graded/, /are not stiff/],
  [{ tone: 'raised' }, /Tone was observed as raised and not both/, /felt stiff.*can test this/],
  [{ tone: 'low', left: '0' }, /Tone was observed as low and not both/, /do not know yet/],
  [{}, /Muscle tone is not recorded and not both/, /do not know yet.*can test this/],
]
for (const [looked, therapist, family] of REASONS)
  test(`raised tone, ${JSON.stringify(looked)}: the reason is said to both readers`, () => {
    const { because } = found(looked)

    expect(english.therapist(because)).toMatch(therapist)
    expect(english.family(because)).toMatch(family)
    expect(faultsInVoices([because])).toEqual([])
  })

test('each exclusion says to the family whom to see', () => {
  const said = Object.values(PATHWAYS)

  expect(said).toHaveLength(4)
  for (const pathway of said) expect(english.family(pathway)).toMatch(/doctor/)
  for (const pathway of said) expect(spanish.family(pathway)).toMatch(/médico|ortopedista/)
  expect(faultsInVoices(said)).toEqual([])
})

test('raised tone cites each record that was looked at, and its sources', () => {
  const at = (name: string) => `Observation/${name}/_history/1`
  const calf = (name: string) => foot({ ashworthCalf: fact('1', '2026-03-01', at(name)) })
  const of = child({
    diagnoses: {
      'spastic-cerebral-palsy': fact(true, '2026-03-01', at('spastic')),
      'cerebral-palsy': fact(true, '2026-03-01', at('palsy')),
    },
    tone: fact('raised', '2026-03-01', at('tone')),
    feet: { left: calf('left'), right: calf('right') },
  })

  expect(raisedTone({ child: of }, RULES.suitability)).toMatchObject({
    sources: ['common-practice', 'ashworth-1987'],
    evidence: ['left', 'palsy', 'right', 'spastic', 'tone'].map(at),
  })
  expect(found({}).evidence).toEqual([])
})

test('skin and feeling cite both records; feeling recorded both ways is said so', () => {
  const left = foot({
    openSkin: fact(false, '2026-03-01', 'Observation/s/_history/1'),
    insensate: fact(true, '2026-03-01', 'Observation/f/_history/1'),
  })
  const contradictions = [{ fact: 'insensate.left', on: civilDate('2026-03-01'), evidence: [] }]
  const both = skinOrSensation('left', { child: child({ feet: { left, right: foot() } }) })
  const disputed = child({ feet: { left: foot(), right: foot() }, contradictions })

  expect(both).toMatchObject({
    sources: ['common-practice'],
    evidence: ['Observation/f/_history/1', 'Observation/s/_history/1'],
  })
  expect(english.therapist(skinOrSensation('left', { child: disputed }).because)).toMatch(
    /open skin not recorded; loss of feeling recorded both ways/,
  )
})
