import { assert, constantFrom, property, shuffledSubarray } from 'fast-check'
import { expect, test } from 'vitest'
import type { CivilDate } from '../../src/domain/calendar.ts'
import { type Child, type Foot, SIDES } from '../../src/domain/child.ts'
import { ImplausibleRecord } from '../../src/domain/implausible.ts'
import { speaker } from '../../src/domain/messages/speaker.ts'
import { GENERIC_SIZE_CHART } from '../../src/domain/tables/generic-size-chart.ts'
import { type Triage, triage } from '../../src/domain/triage.ts'
import { anyChild, anyDay } from '../helpers/any-child.ts'
import { RULES } from '../helpers/rules.ts'

// Laws over the whole computation, for any child of the value domain.

const english = speaker('en')

function found(child: Child, on: CivilDate): Triage | undefined {
  try {
    return triage(child, on, { rules: RULES, chart: GENERIC_SIZE_CHART })
  } catch (error) {
    if (error instanceof ImplausibleRecord) return undefined
    throw error
  }
}

/** Everything that a child's record may lack, one at a time. */
const WITHOUT: Readonly<Record<string, (child: Child) => Child>> = {
  gestation: (child) => ({ ...child, gestationDays: 'unknown' }),
  tone: (child) => ({ ...child, tone: 'unknown' }),
  standardised: (child) => ({ ...child, standardised: 'unknown' }),
  'medical review': (child) => ({ ...child, medicalReview: 'unknown' }),
  diagnoses: (child) => ({ ...child, diagnoses: {} }),
  'the latest milestone look': (child) => ({
    ...child,
    milestoneChecks: child.milestoneChecks
      .toSorted((a, b) => a.on.localeCompare(b.on))
      .slice(0, -1),
  }),
  'every milestone look': (child) => ({ ...child, milestoneChecks: [] }),
  'every skill look': (child) => ({ ...child, skillChecks: [] }),
  ...Object.fromEntries(
    (
      [
        'habitual-w-sitting',
        'rises-onto-toes-for-stability',
        'forward-lean-with-knees-rolling-in',
        'wide-guarded-gait',
        'heel-contact-seen',
        'generalised-laxity',
        'motor-concern',
      ] as const
    ).map((sign) => [
      sign,
      (child: Child): Child => ({ ...child, signs: { ...child.signs, [sign]: 'unknown' } }),
    ]),
  ),
  'loss of skills': (child) => ({
    ...child,
    redFlags: { ...child.redFlags, 'loss-of-skills': 'unknown' },
  }),
  ...Object.fromEntries(
    SIDES.flatMap((side) =>
      (
        [
          'fpi',
          'heelEversion',
          'navicularDrop',
          'tiptoeArchAndHeelInversion',
          'greatToeExtensionRaisesArch',
          'archSeenUnloaded',
          'ankleDorsiflexion',
          'openSkin',
          'insensate',
          'ashworthCalf',
        ] as const satisfies readonly (keyof Foot)[]
      ).map((name) => [
        `${name} ${side}`,
        (child: Child): Child => ({
          ...child,
          feet: { ...child.feet, [side]: { ...child.feet[side], [name]: 'unknown' } },
        }),
      ]),
    ),
  ),
}

/** What is said to disagree. */
const disagreements = ({ suitability, posture }: Triage): string[] =>
  [...suitability.statements, ...posture.left.remarks, ...posture.right.remarks]
    .map(english.therapist)
    .filter((text) => /disagree/.test(text))

test('what is added to a record never makes a definite outcome undetermined, unless a disagreement is reported', () => {
  assert(
    property(anyChild, anyDay, constantFrom(...Object.keys(WITHOUT)), (child, on, name) => {
      const more = found(child, on)
      const less = found(WITHOUT[name]?.(child) ?? child, on)
      // While nobody has recorded gestation, births before that of the rule set are not reckoned with.
      const { gestationDays: gestation } = child
      const early = gestation !== 'unknown' && gestation.value < RULES.age.unknownGestationDays
      const definite = less !== undefined && less.suitability.outcome !== 'undetermined'
      const lost =
        definite &&
        more?.suitability.outcome === 'undetermined' &&
        disagreements(more).length === 0 &&
        !(name === 'gestation' && early)

      expect(lost, name).toBe(false)
    }),
    { numRuns: 400 },
  )
})

test('the order in which looks and measurements stand in the record changes nothing', () => {
  const shuffled = anyChild.chain((child) =>
    shuffledSubarray([...child.milestoneChecks], { minLength: child.milestoneChecks.length }).map(
      (milestoneChecks) => ({
        child,
        other: {
          ...child,
          milestoneChecks,
          skillChecks: child.skillChecks.toReversed(),
          feet: { left: reversed(child.feet.left), right: reversed(child.feet.right) },
        },
      }),
    ),
  )
  assert(
    property(shuffled, anyDay, ({ child, other }, on) => {
      const { child: one, ...expected } = found(child, on) ?? {}
      const { child: same, ...actual } = found(other, on) ?? {}

      expect(one === undefined).toBe(same === undefined)
      expect(actual).toEqual(expected)
    }),
    { numRuns: 150 },
  )
})

const reversed = (foot: Foot): Foot => ({
  ...foot,
  measurements: {
    ...foot.measurements,
    'foot-length': foot.measurements['foot-length'].toReversed(),
    'forefoot-breadth': foot.measurements['forefoot-breadth'].toReversed(),
    'instep-girth': foot.measurements['instep-girth'].toReversed(),
  },
})
