import { assert, constantFrom, property, record } from 'fast-check'
import { expect, test } from 'vitest'
import type { Answers, Decision, QuestionId } from '../../../src/domain/decision/decision.ts'
import { decide, QUESTIONS } from '../../../src/domain/decision/decision.ts'
import { missingFacts } from '../../../src/domain/decision/missing-facts.ts'
import { MET } from '../../helpers/answers.ts'
import { say } from '../../../src/domain/messages/message.ts'
import { speaker } from '../../../src/domain/messages/speaker.ts'
import { faultsInVoices } from '../../helpers/every-voice.ts'

const english = speaker('en')
const spanish = speaker('es')

const FACTS: Record<QuestionId, readonly string[]> = {
  'age-in-range': [],
  'bears-weight': ['a'],
  'low-tone': ['tone'],
  'excessive-pronation.left': ['fpi.left'],
  'excessive-pronation.right': ['fpi.right'],
  'flexible-foot.left': ['tiptoe.left', 'unloaded.left'],
  'flexible-foot.right': ['tiptoe.right'],
  'functional-concern': ['signs'],
  'raised-tone': ['tone'],
  'fixed-calf.left': ['ankle.left'],
  'fixed-calf.right': ['ankle.right'],
  'skin-or-sensation.left': ['skin.left'],
  'skin-or-sensation.right': ['skin.right'],
}
const missing = (changed: Partial<Answers>) =>
  missingFacts({ ...MET, ...changed }, FACTS).map(({ rule, decides }) => [rule, decides])

test('nothing is missing when the outcome is known', () => {
  expect(missing({})).toEqual([])
  expect(missing({ 'raised-tone': 'yes', 'low-tone': 'unknown' })).toEqual([])
  expect(missing({ 'low-tone': 'no', 'raised-tone': 'unknown' })).toEqual([])
})

test('a single open question settles every completion', () => {
  expect(missing({ 'low-tone': 'unknown' })).toEqual([['low-tone', 1]])
})

test('an exclusion is more decisive than a criterion', () => {
  // Counted by hand. Raised tone: unsuitable or not, in all four. Low tone: only where tone is not
  // raised, in two of four.
  expect(missing({ 'low-tone': 'unknown', 'raised-tone': 'unknown' })).toEqual([
    ['raised-tone', 1],
    ['low-tone', 0.5],
  ])
})

test('a foot that is not affected is not asked whether it corrects', () => {
  expect(
    missing({
      'excessive-pronation.left': 'no',
      'flexible-foot.left': 'unknown',
      'low-tone': 'unknown',
    }),
  ).toEqual([['low-tone', 1]])
})

test('a second foot that corrects is not asked whether it is affected', () => {
  expect(missing({ 'excessive-pronation.right': 'unknown' })).toEqual([])
  expect(missing({ 'excessive-pronation.right': 'unknown', 'low-tone': 'unknown' })).toEqual([
    ['low-tone', 1],
  ])
})

test('whether a foot corrects matters if it could be affected', () => {
  // Counted by hand: the left foot is affected; the right one, open in both, makes the child unsuitable
  // in one of four completions, and each answer of that completion is needed for it.
  expect(
    missing({ 'excessive-pronation.right': 'unknown', 'flexible-foot.right': 'unknown' }),
  ).toEqual([
    ['excessive-pronation.right', 0.5],
    ['flexible-foot.right', 0.5],
  ])
})

test('each names the facts that would tell and says what is open', () => {
  expect(missingFacts({ ...MET, 'flexible-foot.left': 'unknown' }, FACTS)).toEqual([
    {
      rule: 'flexible-foot.left',
      decides: 1,
      facts: ['tiptoe.left', 'unloaded.left'],
      because: say('open-question.flexible-foot', { side: 'left' }),
    },
  ])
})

test('all twelve open: every one matters, and exclusions come first', () => {
  const open = Object.fromEntries(QUESTIONS.map((question) => [question, 'unknown' as const]))
  const found = missing({ ...open, 'age-in-range': 'yes' })

  expect(found).toHaveLength(12)
  expect(found.map(([rule]) => rule).slice(0, 5)).toEqual([
    'raised-tone',
    'fixed-calf.left',
    'fixed-calf.right',
    'skin-or-sensation.left',
    'skin-or-sensation.right',
  ])
})

test('every open question is said to the therapist and asked of the family, with its foot', () => {
  const open = Object.fromEntries(QUESTIONS.map((question) => [question, 'unknown' as const]))
  const found = missingFacts({ ...MET, ...open }, FACTS)
  const said = new Map(found.map(({ rule, because }) => [rule, because]))
  const left = said.get('flexible-foot.left')
  const right = said.get('fixed-calf.right')

  expect(said.size).toBe(13)
  expect(left && english.therapist(left)).toBe('It is open whether the left foot corrects.')
  expect(right && english.family(right)).toBe(
    'We still need to know whether the right foot bends up far enough. A therapist can measure this.',
  )
  expect(right && spanish.therapist(right)).toBe(
    'Está por saber si el tobillo derecho llega a la posición neutra.',
  )
  expect(faultsInVoices([...said.values()])).toEqual([])
})

const truths = constantFrom('yes' as const, 'no' as const, 'unknown' as const)
const anyAnswers = record<Answers>({
  'age-in-range': constantFrom('yes' as const, 'no' as const),
  'bears-weight': truths,
  'low-tone': truths,
  'excessive-pronation.left': truths,
  'excessive-pronation.right': truths,
  'flexible-foot.left': truths,
  'flexible-foot.right': truths,
  'functional-concern': truths,
  'raised-tone': truths,
  'fixed-calf.left': truths,
  'fixed-calf.right': truths,
  'skin-or-sensation.left': truths,
  'skin-or-sensation.right': truths,
})
const bits = record(
  Object.fromEntries(
    QUESTIONS.map((question) => [question, constantFrom('yes' as const, 'no' as const)]),
  ),
)

test('something is missing exactly when the outcome is undetermined', () => {
  assert(
    property(anyAnswers, (answers) => {
      const undetermined = decide(answers) === 'undetermined'

      expect(missingFacts(answers, FACTS).length > 0).toBe(undetermined)
    }),
  )
})

const undetermined = anyAnswers.filter((answers) => decide(answers) === 'undetermined')
/** Not so many open that counting by hand takes long. */
const fewOpen = undetermined.filter(
  (answers) => QUESTIONS.filter((question) => answers[question] === 'unknown').length <= 8,
)

test('what each decides is the share of all combinations in which its other answer decides otherwise', () => {
  assert(
    property(fewOpen, (answers) => {
      const open = QUESTIONS.filter((question) => answers[question] === 'unknown')
      const shares = open.map((question, index) => {
        const settled = Array.from({ length: 2 ** open.length }, (_, bits) => {
          const given = { ...answers }
          for (const [place, one] of open.entries())
            given[one] = Math.floor(bits / 2 ** place) % 2 === 1 ? 'yes' : 'no'
          const other = given[question] === 'yes' ? ('no' as const) : ('yes' as const)
          return decide(given) !== decide({ ...given, [question]: other })
        })
        return [open[index], settled.filter(Boolean).length / settled.length]
      })

      expect(new Map(missing(answers).map(([rule, decides]) => [rule, decides]))).toEqual(
        new Map(shares.filter(([, share]) => share !== 0).map(([rule, share]) => [rule, share])),
      )
    }),
    { numRuns: 40 },
  )
})

test('once what is missing is answered, either way, the outcome is known and stays', () => {
  assert(
    property(undetermined, bits, (answers, given) => {
      const asked = missingFacts(answers, FACTS).map(({ rule }) => rule)
      const complete = { ...answers }
      const answered = { ...answers }
      for (const question of QUESTIONS) {
        if (answers[question] !== 'unknown') continue
        complete[question] = given[question] ?? 'no'
        if (asked.includes(question)) answered[question] = given[question] ?? 'no'
      }

      expect(decide(answered)).not.toBe('undetermined')
      expect(decide(complete)).toBe(decide(answered))
    }),
  )
})

const STAYS: Record<Decision, readonly Decision[]> = {
  unsuitable: ['unsuitable'],
  suitable: ['suitable'],
  watch: ['watch', 'unsuitable'],
  undetermined: ['unsuitable', 'watch', 'suitable'],
}
test('unsuitable stays unsuitable, suitable stays suitable, whatever else is answered', () => {
  assert(
    property(anyAnswers, bits, (answers, given) => {
      const complete = { ...answers }
      for (const question of QUESTIONS)
        if (answers[question] === 'unknown') complete[question] = given[question] ?? 'no'

      expect(STAYS[decide(answers)]).toContain(decide(complete))
    }),
  )
})
