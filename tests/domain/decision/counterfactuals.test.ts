import { assert, pre, property } from 'fast-check'
import { expect, test } from 'vitest'
import type { AssessedChild } from '../../../src/domain/assessed-child.ts'
import type { Child } from '../../../src/domain/child.ts'
import {
  type Counterfactual,
  counterfactuals,
} from '../../../src/domain/decision/counterfactuals.ts'
import { posture } from '../../../src/domain/foot/posture.ts'
import { suitability } from '../../../src/domain/decision/suitability.ts'
import type { SupposedFact } from '../../../src/domain/decision/supposed-fact.ts'
import { degrees } from '../../../src/domain/units.ts'
import { child, fact } from '../../helpers/child.ts'
import {
  affectedFoot,
  agesAt,
  assess,
  fpiOf,
  knownChild,
  milestonesWith,
  tempoWith,
} from '../../helpers/findings.ts'
import { RULES } from '../../helpers/rules.ts'
import { anyHidden, anyWhole, partly } from '../../helpers/whole-child.ts'
import { speaker } from '../../../src/domain/messages/speaker.ts'
import { faultsInVoices } from '../../helpers/every-voice.ts'

const english = speaker('en')
const spanish = speaker('es')

const of = (...args: Parameters<typeof assess>) => counterfactuals(assess(...args), RULES)
const said = ({ changes }: ReturnType<typeof of>) =>
  changes.map(({ rule, answer, outcome }) => `${rule} ${answer}: ${outcome}`)
const feet = (left: Parameters<typeof affectedFoot>[0], right = left) => ({
  feet: { left: affectedFoot(left), right: affectedFoot(right) },
})

test('a foot that corrects on tiptoe only would be rigid if it did not', () => {
  const only = { archSeenUnloaded: fact(false), greatToeExtensionRaisesArch: fact(false) }
  const { changes } = of(knownChild(feet(only, {})))

  expect(changes.find(({ rule }) => rule === 'flexible-foot.left')).toEqual({
    rule: 'flexible-foot.left',
    answer: 'no',
    facts: [{ fact: 'tiptoeArchAndHeelInversion.left', value: false }],
    outcome: 'unsuitable',
    because: {
      key: 'otherwise.unsuitable',
      values: { condition: expect.objectContaining({ key: 'part.if-foot-rigid' }) as unknown },
    },
  })
})

test('a rigid foot would be suitable if it corrected on tiptoe, and then if it were not pronated', () => {
  const rigid = {
    tiptoeArchAndHeelInversion: fact(false),
    archSeenUnloaded: fact(false),
    greatToeExtensionRaisesArch: fact(false),
  }

  expect(said(of(knownChild(feet(rigid, {}))))).toEqual([
    'flexible-foot.left yes: suitable',
    'excessive-pronation.left no: suitable',
  ])
})

test('two exclusions are changed by no single answer, and that is said', () => {
  const found = of(knownChild(feet({ openSkin: fact(true) })))

  expect(found.changes).toEqual([])
  expect(english.therapist(found.because)).toBe(
    'No other answer to a single question changes the outcome.',
  )
})

test('the nearest is said in the sentence of the whole', () => {
  const found = of(knownChild(feet({ openSkin: fact(true) }, {})))

  expect(found.because).toBe(found.changes[0]?.because)
  expect(english.therapist(found.because)).toBe(
    'Would be suitable if skin and feeling of the left foot were sound.',
  )
  expect(english.family(found.because)).toBe(
    'We could suggest supports if the skin of the left foot were whole and the foot could feel.',
  )
  expect(spanish.therapist(found.because)).toBe(
    'Sería adecuado si la piel y la sensibilidad del pie izquierdo estuvieran sanas.',
  )
})

test('a child that is watched for one criterion would be suitable if it were met', () => {
  expect(said(of(knownChild({ tone: fact('normal') })))[0]).toBe('low-tone yes: suitable')
})

test('one fact may answer two questions: low tone also says that tone is not raised', () => {
  const ungraded = feet({ ashworthCalf: 'unknown' })
  const found = of(knownChild({ tone: 'unknown', ...ungraded }))

  expect(found.changes[0]).toMatchObject({
    facts: [{ fact: 'tone', value: 'low' }],
    outcome: 'suitable',
  })
  expect(english.therapist(found.because)).toBe('Would be suitable if muscle tone were low.')
  expect(
    found.changes.filter(
      ({ because }) => english.therapist(because) === english.therapist(found.because),
    ),
  ).toHaveLength(1)
})

test('a child that does not walk yet would be suitable if it walked', () => {
  const found = of(knownChild(), { milestones: milestonesWith({ walksAlone: 'no' }) })

  expect(said(found)[0]).toBe('walks-alone yes: suitable')
})

test('a red flag that holds would have to be lifted, one that does not would ask for a review', () => {
  const signs = knownChild().redFlags
  const painful = knownChild({ redFlags: { ...signs, 'pain-or-swelling': fact(true) } })

  expect(said(of(painful))[0]).toBe('pain-or-swelling no: suitable')
  expect(said(of(knownChild()))).toContain('pain-or-swelling yes: suitable-after-review')
})

test('two red flags are not lifted by one answer', () => {
  const signs = knownChild().redFlags
  const both = { 'pain-or-swelling': fact(true), 'gowers-sign': fact(true) }
  const found = of(knownChild({ redFlags: { ...signs, ...both } }))

  expect(said(found).filter((one) => one.endsWith(': suitable'))).toEqual([])
})

test('walking also lifts the red flag of late walking', () => {
  const late = milestonesWith({ walksAlone: 'no' })
  const found = of(knownChild({ medicalReview: fact(false) }), { milestones: late })

  expect(said(found)[0]).toBe('walks-alone yes: suitable')
  expect(said(found)).not.toContain('late-walking-without-review no: suitable')
})

test('a child outside the ages would be suitable within them, by no fact but time', () => {
  for (const age of [5.9, 72.1]) {
    const [first] = of(knownChild(), { ages: agesAt(age) }).changes

    expect(first).toMatchObject({ rule: 'age-in-range', answer: 'yes', facts: [] })
    expect(first && english.therapist(first.because)).toBe(
      'Would be suitable if the child were 6 to 72 months old.',
    )
  }
  expect(said(of(knownChild(), { ages: agesAt(6) })).join()).not.toContain('age-in-range')
})

test('where the outcome turns on gestation, recording it at term or early would settle it', () => {
  const early = { ages: agesAt(17.2), milestones: milestonesWith() }
  const ifPreterm = { ...early, tempo: tempoWith({ atLeast25: 0.2 }) }
  const open = { ...assess(knownChild()), ifPreterm }
  const settling = counterfactuals(open, RULES).changes.filter(
    ({ facts }) => facts[0]?.fact === 'gestationDays',
  )

  expect(suitability(open, RULES).outcome).toBe('undetermined')
  expect(settling.map(({ because }) => english.therapist(because))).toEqual([
    'Would be suitable if the child were recorded as born at 40 weeks.',
    'Would be watch if the child were recorded as born at 28 weeks.',
  ])
})

test('what turns on gestation stays open whatever else is supposed', () => {
  const early = { ages: agesAt(17.2), milestones: milestonesWith() }
  const ifPreterm = { ...early, tempo: tempoWith({ atLeast25: 0.2 }) }
  const changes = counterfactuals({ ...assess(knownChild()), ifPreterm }, RULES).changes

  expect(changes.map(({ rule }) => rule)).not.toContain('walks-alone')
})

test('a foot is looked at anew at the supposed age: the arch index counts from 3 years', () => {
  // Banwell 2018: flat above a Staheli index of 1.07 from 3 years; no limit for younger children.
  const flat = affectedFoot({ fpi: fact({ 3: 1, 6: 1 }), staheliIndex: fact(1.5) })
  const record = knownChild({ feet: { left: flat, right: flat } })
  const open = (early: number) => {
    const ifPreterm = { ages: agesAt(early), milestones: milestonesWith(), tempo: tempoWith() }
    const found = assess(record, { ages: agesAt(37), tempo: tempoWith({ atLeast25: 0.2 }) })
    const { changes, because } = counterfactuals({ ...found, ifPreterm }, RULES)
    const byGestation = changes.filter(({ facts }) => facts[0]?.fact === 'gestationDays')
    return said({ changes: byGestation, because })
  }

  expect(open(36)).toContain('functional-concern yes: suitable')
  expect(open(35.9)).not.toContain('functional-concern yes: suitable')
})

test('a child that does not bear weight would be suitable if it stood', () => {
  const found = of(knownChild(), { milestones: milestonesWith({ bearsWeight: 'no' }) })

  expect(said(found)[0]).toBe('bears-weight yes: suitable')
  expect(english.therapist(found.because)).toBe(
    'Would be suitable if the child stood with assistance.',
  )
})

test('a supposed age is that of a child born early, too', () => {
  const young = agesAt(5)
  const ifPreterm = { ages: agesAt(4), milestones: milestonesWith(), tempo: tempoWith() }
  const open = { ...assess(knownChild(), { ages: young }), ifPreterm }

  expect(counterfactuals(open, RULES).changes[0]).toMatchObject({
    rule: 'age-in-range',
    outcome: 'suitable',
  })
})

test('fewer facts come first', () => {
  const counts = of(knownChild()).changes.map(({ facts }) => facts.length)

  expect(new Set(counts).size).toBeGreaterThan(1)
  expect(counts).toEqual(counts.toSorted((a, b) => a - b))
})

test('of changes by one fact, what is open comes before what is on record', () => {
  const rules = of(knownChild(feet({ insensate: 'unknown' }, {}))).changes.map(({ rule }) => rule)

  expect(rules.slice(0, 3)).toEqual([
    'skin-or-sensation.left',
    'skin-or-sensation.left',
    'raised-tone',
  ])
})

test('nothing known: each change is one that leads somewhere', () => {
  const { changes } = of(child(), { milestones: milestonesWith({ bearsWeight: 'unknown' }) })

  expect(changes.map(({ outcome }) => outcome)).not.toContain('undetermined')
  expect(changes.length).toBeGreaterThan(0)
})

/** Writes the named facts into the record in another way than the code does. */
function withFacts(record: Child, facts: readonly SupposedFact[]): Child {
  const written = structuredClone(record) as unknown as Record<string, Record<string, unknown>>
  for (const { fact: name, value } of facts) {
    const [first = '', second = ''] = name.split('.')
    const known = fact(value)
    if (first === 'milestoneChecks' || first === 'skillChecks') continue
    if (first === 'diagnoses') delete written['diagnoses']?.[second]
    else if (second === 'left' || second === 'right')
      Object.assign(written['feet']?.[second] ?? {}, { [first]: known })
    else if (second === '') Object.assign(written, { [first]: known })
    else Object.assign(written[first] ?? {}, { [second]: known })
  }
  return written as unknown as Child
}

/** The child of whom it is as the counterfactual says. */
function otherwise(
  assessed: AssessedChild,
  { rule, answer, facts }: Counterfactual,
): AssessedChild {
  const of = withFacts(assessed.child, facts)
  const { bearsWeight, walksAlone } = assessed.milestones
  const milestones = milestonesWith({
    bearsWeight: rule === 'bears-weight' ? answer : bearsWeight.holds,
    walksAlone: rule === 'walks-alone' ? answer : walksAlone.holds,
    ...(rule === 'walks-alone' && answer === 'yes' && { bearsWeight: 'yes' }),
  })
  return { ...assessed, child: of, milestones, posture: posture(of, assessed.ages, RULES) }
}

test('if it were as said, the outcome would be as said', () => {
  assert(
    property(anyWhole, anyHidden, (whole, hidden) => {
      const assessed = assess(...partly(whole, hidden))
      const { outcome } = suitability(assessed, RULES)
      for (const change of counterfactuals(assessed, RULES).changes) {
        const other = suitability(otherwise(assessed, change), RULES)

        expect([change, other.outcome]).toEqual([change, change.outcome])
        expect(change.outcome).not.toBe(outcome)
      }
    }),
    { numRuns: 60 },
  )
})

test('an excluded child is told first what would lift the exclusion', () => {
  const lifting = ['raised-tone', 'flexible-foot', 'fixed-calf', 'skin-or-sensation']
  assert(
    property(anyWhole, anyHidden, (whole, hidden) => {
      const assessed = assess(...partly(whole, hidden))
      pre(suitability(assessed, RULES).outcome === 'unsuitable')
      const [first] = counterfactuals(assessed, RULES).changes
      pre(first !== undefined)

      expect(lifting).toContain(first?.rule.split('.')[0])
    }),
    { numRuns: 60 },
  )
})

/** One fact of a foot or of the child, as it might be recorded instead. */
const SINGLE: readonly SupposedFact[] = [
  ...(['low', 'normal', 'raised'] as const).map((value) => ({ fact: 'tone', value })),
  ...[-3, 0].map((z) => ({ fact: 'standardised', value: { kind: 'z-score' as const, z } })),
  ...['habitual-w-sitting', 'generalised-laxity', 'motor-concern'].flatMap((sign) =>
    [true, false].map((value) => ({ fact: `signs.${sign}`, value })),
  ),
  ...(['left', 'right'] as const).flatMap((side) => [
    ...['tiptoeArchAndHeelInversion', 'archSeenUnloaded', 'openSkin', 'insensate'].flatMap((name) =>
      [true, false].map((value) => ({ fact: `${name}.${side}`, value })),
    ),
    { fact: `ashworthCalf.${side}`, value: '0' as const },
    { fact: `ashworthCalf.${side}`, value: '3' as const },
    { fact: `ankleDorsiflexion.${side}`, value: degrees(-4) },
    { fact: `ankleDorsiflexion.${side}`, value: degrees(9) },
    { fact: `fpi.${side}`, value: fpiOf([0, 0, 0, 0, 0, 0]) },
    { fact: `fpi.${side}`, value: fpiOf([2, 2, 2, 2, 2, 2]) },
  ]),
]

test('when some single fact changes the outcome, the list is not empty', () => {
  assert(
    property(anyWhole, anyHidden, (whole, hidden) => {
      const assessed = assess(...partly(whole, hidden))
      const { outcome } = suitability(assessed, RULES)
      const reached = SINGLE.map((one) => {
        const of = withFacts(assessed.child, [one])
        const other = { ...assessed, child: of, posture: posture(of, assessed.ages, RULES) }
        return suitability(other, RULES).outcome
      })
      pre(reached.some((other) => other !== outcome))

      expect(counterfactuals(assessed, RULES).changes).not.toEqual([])
    }),
    { numRuns: 30 },
  )
})

test('what is said of a foot that did not correct names each test that would have to fail', () => {
  const { changes } = of(knownChild(feet({}, {})))
  const said = changes.find(({ rule, answer }) => rule === 'flexible-foot.left' && answer === 'no')

  expect(said && english.therapist(said.because)).toBe(
    'Would be unsuitable if the left foot did not correct on tiptoe, when the great toe is lifted, and unloaded.',
  )
})

test('every way to another outcome can be said, in each language and voice', () => {
  assert(
    property(anyWhole, anyHidden, (whole, hidden) => {
      const { changes, because } = counterfactuals(assess(...partly(whole, hidden)), RULES)

      expect(faultsInVoices([because, ...changes.map((change) => change.because)])).toEqual([])
    }),
    { numRuns: 30 },
  )
})

test('the answer does not depend on how often it is asked, and the record is left as it is', () => {
  const assessed = assess(knownChild())
  const before = JSON.stringify(assessed)

  expect(counterfactuals(assessed, RULES)).toEqual(counterfactuals(assessed, RULES))
  expect(JSON.stringify(assessed)).toBe(before)
})
