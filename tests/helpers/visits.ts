import { addDays, type CivilDate } from '../../src/domain/calendar.ts'
import type {
  ChangeAfterFitting,
  PaceChanged,
} from '../../src/domain/follow-up/change-after-fitting.ts'
import { DESCRIBED_SKILLS, MILESTONES } from '../../src/domain/child.ts'
import { evidenceRef, type Recorded } from '../../src/domain/facts.ts'
import type {
  SinceFitting,
  SkillsSinceFitting,
} from '../../src/domain/follow-up/new-since-fitting.ts'
import type { Truth } from '../../src/domain/truth.ts'
import { SIZE_SIGNS, STOP_SIGNS, type WornDevice } from '../../src/domain/follow-up/worn-device.ts'
import { AS_OF, finding, size, SOMETHING_SAID } from './plans.ts'

/** The visit of these tests is 84 days after the delivery, on the day of the helpers of the plan. */
export const DELIVERED = addDays(AS_OF, -84)
export const daysBefore = (count: number): CivilDate => addDays(AS_OF, -count)

/** Looked for so many days before the visit. */
export const sign = (value: boolean, daysAgo = 0): Recorded<boolean> => ({
  value,
  on: daysBefore(daysAgo),
  evidence: evidenceRef(`Observation/sign-${value}-${daysAgo}/_history/1`),
})

type Signs = WornDevice['signs']

/** A left device of 120 to 130 mm, every sign looked for today and not there, but those of a test. */
export const worn = (
  signs: Partial<Signs> = {},
  known: Partial<Omit<WornDevice, 'signs'>> = {},
): WornDevice => ({
  side: 'left',
  size: size(),
  ...known,
  signs: {
    ...(Object.fromEntries(
      [...STOP_SIGNS, ...SIZE_SIGNS].map((name) => [name, sign(false)]),
    ) as Signs),
    ...signs,
  },
})

const HOLDS: Readonly<Record<SinceFitting['state'], Truth>> = {
  new: 'yes',
  had: 'no',
  'not-yet': 'no',
  lost: 'no',
  unclear: 'unknown',
  unknown: 'unknown',
}

type States = Partial<Record<SinceFitting['what'], SinceFitting['state']>>

/** Milestones were there at the fitting and no described skill was looked at, but those of a test. */
export const sinceWith = (states: States = {}): SkillsSinceFitting => {
  const of = (what: SinceFitting['what'], state: SinceFitting['state']): SinceFitting => ({
    what,
    state,
    finding: {
      ...finding(`new-since-fitting.${what}`, HOLDS[state]),
      evidence: what in states ? [evidenceRef(`Observation/${what}/_history/1`)] : [],
    },
  })
  return {
    milestones: MILESTONES.map((what) => of(what, states[what] ?? 'had')),
    skills: DESCRIBED_SKILLS.map((what) => of(what, states[what] ?? 'unknown')),
  }
}

export const changed = (probabilityFaster: number): PaceChanged => ({
  state: 'estimated',
  before: { value: 0.7, interval: { low: 0.6, high: 0.8 } },
  after: { value: 0.7, interval: { low: 0.5, high: 1 } },
  ratio: { value: 1, interval: { low: 0.7, high: 1.4 } },
  probabilityFaster,
  caution: SOMETHING_SAID,
  finding: finding('change-after-fitting', 'yes'),
})

export const NO_CHANGE: ChangeAfterFitting = {
  state: 'not-estimable',
  reason: 'nothing-left',
  finding: finding('change-after-fitting', 'unknown'),
}
