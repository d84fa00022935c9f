import { z } from 'zod'
import { ESTIMATED_DELAYS } from '../development/delay-levels.ts'
import shipped from './footing-default-2026.1.json' with { type: 'json' }

const MARKS = ['published', 'derived', 'common-practice', 'judgement', 'memory'] as const

/**
 * A setting stands with its unit, mark and source in the file; the rules see only its value.
 *
 * @param unit UCUM; a value in another unit would be read as if it were in this one
 */
export const setting = <Value>(unit: string, value: z.ZodType<Value>) =>
  z
    .strictObject({
      value,
      unit: z.literal(unit),
      mark: z.enum(MARKS),
      source: z.string().min(1),
    })
    .transform((one) => one.value)

const from = (low: number, high: number) => z.number().min(low).max(high)
const wholeFrom = (low: number, high: number) => z.int().min(low).max(high)

// What the units and the calendar of the rules can hold: twenty years, a metre, a half turn.
export const days = setting('d', wholeFrom(1, 7_320))
export const weeks = setting('wk', wholeFrom(1, 1_043))
export const months = setting('mo', wholeFrom(1, 240))
export const years = setting('a', wholeFrom(1, 20))
export const hours = setting('h', from(0, 24))
export const minutes = setting('min', from(0, 1_440))
export const millimetres = setting('mm', from(0, 1_000))
export const angle = setting('deg', from(-180, 180))
export const percent = setting('%', from(0, 100))
/** The tempo gives a probability for these delays only. */
export const estimatedDelay = percent.refine(
  (asked) => ESTIMATED_DELAYS.some((delay) => delay === asked),
  `must be one of ${ESTIMATED_DELAYS.join(', ')}`,
)
export const points = setting('{points}', from(0, 100))
export const probability = setting('1', from(0, 1))
/** A quantile without its ends, where a range has none. */
export const quantile = setting('1', z.number().gt(0).lt(1))
/** Spread of the logarithm of a pace: below the lower limit the grid that it lies on cannot show it. */
export const spread = setting('1', from(0.01, 5))
/** Standard deviations above or below a mean. */
export const standardScore = setting('1', from(-10, 10))
export const ratio = setting('1', from(0, 100))
export const count = setting('1', wholeFrom(1, 100))
/** An item of the Foot Posture Index goes from -2 to +2, the sum of six from -12 to +12. */
export const fpiItem = setting('1', wholeFrom(-2, 2))
export const fpiSum = setting('1', wholeFrom(-12, 12))
/** Weeks after delivery, each later than the one before. */
export const weeksInOrder = setting(
  'wk',
  z
    .array(wholeFrom(1, 1_043))
    .min(1)
    .refine(
      (all) => all.every((week, index) => index === 0 || week > (all[index - 1] ?? week)),
      'must be ascending',
    ),
)

/** One of several words. */
export const choice = <const Words extends readonly [string, ...string[]]>(words: Words) =>
  setting('1', z.enum(words))

/** How the days of a law are counted. */
export const deadlineSettings = z.strictObject({
  countingConvention: choice(['day-after-receipt', 'receipt-is-day-one']),
  leapBirthday: choice(['feb28', 'mar1']),
  workingTarget: choice(['friday-before', 'same-day']),
})

const timers = z.strictObject({
  receiptDays: days,
  triageDays: days,
  dateDays: days,
  replyDays: days,
  informationDays: days,
  legalNoticeDays: days,
})

/**
 * After how many days the clinic is reminded of a referral; how long before a legal date. A clinic's rule set
 * may be older than this section, and must go on deciding as it did: for it the shipped limits hold.
 */
export const timerSettings = z.preprocess((given) => given ?? shipped.timers, timers)
