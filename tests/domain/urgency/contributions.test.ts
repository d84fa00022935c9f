import { expect, test } from 'vitest'
import { civilDate } from '../../../src/domain/calendar.ts'
import type { Foot, Sign } from '../../../src/domain/child.ts'
import { speaker } from '../../../src/domain/messages/speaker.ts'
import { ageWindow, pronation, safety, waiting } from '../../../src/domain/urgency/contributions.ts'
import type { Truth } from '../../../src/domain/truth.ts'
import { child, fact, foot } from '../../helpers/child.ts'
import { faultsInVoices } from '../../helpers/every-voice.ts'
import { agesAt, assess, fpiOf, milestonesWith } from '../../helpers/findings.ts'
import { RULES } from '../../helpers/rules.ts'

const weights = RULES.urgency
const en = speaker('en')
const es = speaker('es')
const supinated = { fpi: fact(fpiOf([-1, -1, -1, -1, -1, -1])) }
const pronationOf = (left: Partial<Foot>, right: Partial<Foot> = supinated) => {
  const { low, points, high, max } = pronation(
    assess(child({ feet: { left: foot(left), right: foot(right) } })),
    weights,
  )
  expect([points, max]).toEqual([low, 20])
  return [low, high]
}
const scored = (...scores: number[]) => ({ fpi: fact(fpiOf(scores)) })

test('pronation: no points up to a sum of +5 without a plane marked, all at +12', () => {
  expect(pronationOf(scored(1, 1, 1, 1, 1, 0))).toEqual([0, 0])
  expect(pronationOf(scored(2, 2, 2, 2, 2, 2))).toEqual([20, 20])
})

test('pronation: 4 points per plane marked, and a seventh of 8 per point above +5', () => {
  // +7, sagittal marked: 4 + 8 x 2/7.
  const [low, high] = pronationOf(scored(1, 1, 1, 2, 1, 1))

  expect(low).toBeCloseTo(6.2857, 4)
  expect(high).toBeCloseTo(6.2857, 4)
  expect(pronationOf(scored(-2, -2, 2, 0, 2, 2))).toEqual([12, 12])
})

test('pronation: the worse foot counts', () => {
  expect(pronationOf(supinated, scored(2, 2, 2, 2, 2, 2))).toEqual([20, 20])
})

test('pronation: a foot of which nothing is recorded may have no points or all', () => {
  expect(pronationOf({})).toEqual([0, 20])
  expect(pronationOf({}, scored(2, 2, 2, 2, 2, 2))).toEqual([20, 20])
})

test('pronation: an item that was not judged leaves a range', () => {
  // Items 1-5 at +2: sum 8 to 12, coronal and sagittal marked, transverse open.
  const [low, high] = pronationOf(scored(2, 2, 2, 2, 2))

  expect(low).toBeCloseTo(8 + (8 * 3) / 7, 10)
  expect(high).toBe(20)
})

const windowOf = (bearsWeight: Truth, age: number) => {
  const { low, points, high } = ageWindow(
    { ages: agesAt(age), milestones: milestonesWith({ bearsWeight }) },
    weights,
  )
  expect(points).toBe(low)
  return [low, high]
}

test('window: 15 points for a child that bears weight up to 24 months, none from 60', () => {
  expect(windowOf('yes', 12)).toEqual([15, 15])
  expect(windowOf('yes', 24)).toEqual([15, 15])
  expect(windowOf('yes', 42)).toEqual([7.5, 7.5])
  expect(windowOf('yes', 60)).toEqual([0, 0])
  expect(windowOf('yes', 71)).toEqual([0, 0])
})

test('window: none for a child that does not bear weight, a range when it is unknown', () => {
  expect(windowOf('no', 12)).toEqual([0, 0])
  expect(windowOf('unknown', 12)).toEqual([0, 15])
  expect(windowOf('unknown', 42)).toEqual([0, 7.5])
})

const safetyOf = (signs: Partial<Record<Sign, boolean>>) => {
  const facts = Object.entries(signs).map(([sign, value]) => [sign, fact(value)] as const)
  const of = { signs: { ...child().signs, ...Object.fromEntries(facts) } }
  const { low, points, high } = safety(of, weights)
  expect(points).toBe(low)
  return [low, high]
}
const safe = {
  'falls-beyond-practice': false,
  'rises-onto-toes-for-stability': false,
  'refuses-to-stand': false,
}

test('safety: 4 points for falls, 3 for rising onto the toes, 3 for refusing to stand', () => {
  expect(safetyOf(safe)).toEqual([0, 0])
  expect(safetyOf({ ...safe, 'falls-beyond-practice': true })).toEqual([4, 4])
  expect(safetyOf({ ...safe, 'rises-onto-toes-for-stability': true })).toEqual([3, 3])
  expect(safetyOf({ ...safe, 'refuses-to-stand': true })).toEqual([3, 3])
})

test('safety: each sign that nobody reported leaves a range', () => {
  expect(safetyOf({})).toEqual([0, 10])
  expect(safetyOf({ 'falls-beyond-practice': true })).toEqual([4, 10])
  expect(safetyOf({ 'refuses-to-stand': false })).toEqual([0, 7])
})

const waitingOn = (asOf: string) =>
  waiting({ child: child(), asOf: civilDate(asOf) }, weights).points

test('waiting: 5 points after 30 days, in a straight line from the day of receipt', () => {
  // Received on 2026-03-01.
  expect(waitingOn('2026-03-01')).toBe(0)
  expect(waitingOn('2026-03-16')).toBe(2.5)
  expect(waitingOn('2026-03-31')).toBe(5)
  expect(waitingOn('2026-06-01')).toBe(5)
  expect(waitingOn('2026-02-20')).toBe(0)
})

const pronationSaid = (left: Partial<Foot>, right: Partial<Foot> = supinated) =>
  pronation(assess(child({ feet: { left: foot(left), right: foot(right) } })), weights).because

test('pronation: each foot is told with its planes and sum, and that the worse one counts', () => {
  const because = pronationSaid(scored(1, 1, 1, 2, 1, 1))

  expect(en.therapist(because)).toBe(
    'Left foot: 1 of 3 planes marked, 0 not known, a sum of 7 of the Foot Posture Index. Right foot: 0 of 3 planes marked, 0 not known, a sum of -6 of the Foot Posture Index. The worse foot counts: 4 points per plane marked, and more for a sum above +5, up to +12.',
  )
  expect(en.family(because)).toBe(
    "Your child's left foot rolls inwards clearly in 1 of the 3 ways we look at it. Your child's right foot rolls inwards clearly in 0 of the 3 ways we look at it. We go by the foot that rolls in more.",
  )
})

test('pronation: what is not known of a foot is told to both', () => {
  const because = pronationSaid({})

  expect(en.therapist(because)).toContain('3 not known, no sum of the Foot Posture Index')
  expect(en.family(because)).toContain('in 0 of the 3 ways we look at it, 3 not known yet.')
  expect(es.family(because)).toContain('de las 3 formas que observamos, 3 todavía desconocidas.')
})

test('window: bearing weight is told with the age and the limits, and what is unknown is asked for', () => {
  const said = (bearsWeight: Truth) =>
    ageWindow({ ages: agesAt(42), milestones: milestonesWith({ bearsWeight }) }, weights).because

  expect(en.therapist(said('yes'))).toBe(
    'Bears weight, at 42 months: all points below 24 months, none from 60.',
  )
  expect(en.therapist(said('no'))).toMatch(/^Does not bear weight, at 42 months: no points/)
  expect(en.family(said('unknown'))).toMatch(/^We do not know yet.*Please tell us\.$/)
  expect(faultsInVoices([said('yes'), said('no'), said('unknown')])).toEqual([])
})

const safetySaid = (signs: Partial<Record<Sign, boolean>>) => {
  const facts = Object.entries(signs).map(([sign, value]) => [sign, fact(value)] as const)
  return safety({ signs: { ...child().signs, ...Object.fromEntries(facts) } }, weights).because
}

test('safety: signs are told as seen, not seen and not recorded, each once', () => {
  const because = safetySaid({ 'refuses-to-stand': true, 'falls-beyond-practice': false })

  expect(en.therapist(because)).toBe(
    'Seen: refusal to stand. Looked for and not seen: falls beyond what practice explains. Not recorded: rising onto the toes for stability.',
  )
  expect(en.family(because)).toBe(
    'Seen in your child: not wanting to stand. Looked for in your child and not seen: falling more than other children who are learning to walk. We do not know yet about: going up on the toes to keep steady. Please tell us.',
  )
  expect(en.therapist(safetySaid(safe))).toMatch(/^Looked for and not seen: .*, .*, and [^.]*\.$/)
})

test('waiting: the days are told', () => {
  const said = (asOf: string) => waiting({ child: child(), asOf: civilDate(asOf) }, weights).because

  expect(en.therapist(said('2026-03-16'))).toBe(
    '15 days since the referral was received; all points from 30 days.',
  )
  expect(en.family(said('2026-03-01'))).toBe("We received your child's referral today.")
  expect(en.family(said('2026-03-02'))).toContain('1 day ago')
  expect(es.family(said('2026-03-16'))).toBe(
    'Recibimos la remisión de su hijo o hija hace 15 días.',
  )
})

test('waiting: before the referral was received nothing has been waited, and it is told so', () => {
  const said = (asOf: string) => waiting({ child: child(), asOf: civilDate(asOf) }, weights).because

  expect(en.therapist(said('2026-02-28'))).toBe(
    'Asked for a day before the referral was received: nothing has been waited.',
  )
  expect(en.therapist(said('2026-03-01'))).toMatch(/^0 days since the referral was received/)
})

test('each contribution can be told to both readers in every language', () => {
  const signs = ['falls-beyond-practice', 'rises-onto-toes-for-stability'] as const

  expect(
    faultsInVoices([
      pronationSaid({}),
      pronationSaid(scored(2, 2, 2, 2, 2), scored(2, 2, 2, 2, 2, 2)),
      safetySaid({}),
      safetySaid(safe),
      safetySaid(Object.fromEntries(signs.map((sign) => [sign, true]))),
      waiting({ child: child(), asOf: civilDate('2026-03-01') }, weights).because,
    ]),
  ).toEqual([])
})
