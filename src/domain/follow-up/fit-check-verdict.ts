import { AppError } from '../../errors.ts'
import { type Adjustment, type Remedy, remedyOfMm, remedyOfNo } from './fit-check-remedy.ts'
import type { FitCheckItem, Wording } from '../plan/fitting.ts'
import type { RuleSet } from '../rules/rule-set.ts'
import { sentence } from '../wording.ts'

/** The first outranks those after it. */
export const FIT_VERDICTS = ['stop', 'adjust', 'tell', 'unknown', 'pass'] as const
export type FitVerdict = (typeof FIT_VERDICTS)[number]

export interface JudgedItem {
  readonly verdict: FitVerdict
  readonly adjustment?: Adjustment
  readonly wording: Wording
}

/**
 * What do the answers to one item of the fit check say?
 *
 * Inside the tolerance it passes, both ends included. Unknown without an answer, for a value that
 * cannot be, and when answers disagree – unless one of them means stop: that is never outvoted.
 *
 * @param values the answers to this item, in its own unit
 * @throws AppError `business-rule` for an answer of another kind than the item asks for
 */
export function fitVerdict(
  item: FitCheckItem,
  values: readonly (boolean | number | 'unknown')[],
  rules: RuleSet,
): JudgedItem {
  const known = [...new Set(values)].filter((value) => value !== 'unknown')
  const judged = known.map((value) => verdictOf(item, value, rules))
  const [only] = judged
  if (only === undefined) return open(item, 'was not answered')
  if (judged.length === 1) return only
  const stop = judged.find(({ verdict }) => verdict === 'stop')
  return stop ?? open(item, 'has answers that disagree')
}

function verdictOf(item: FitCheckItem, value: boolean | number, rules: RuleSet): JudgedItem {
  if ((typeof value === 'boolean') !== (item.answer === 'yes-no'))
    throw new AppError('business-rule', 'an answer is not of the kind that its question asks for')
  if (typeof value === 'boolean') return value ? passed(item) : adjusted(item, remedyOfNo(item.id))
  if (!Number.isFinite(value)) return open(item, 'has an answer that cannot be')
  return item.answer === 'minutes' ? redness(item, value, rules) : inMm(item, value, rules)
}

function inMm(item: FitCheckItem, mm: number, rules: RuleSet): JudgedItem {
  const { min, max } = item.tolerance ?? { min: -Infinity, max: Infinity }
  return mm >= min && mm <= max ? passed(item) : adjusted(item, remedyOfMm(item.id, mm, rules))
}

function redness(item: FitCheckItem, minutes: number, { fitting }: RuleSet): JudgedItem {
  const { rednessTellMinutes: tell, rednessStopMinutes: stop } = fitting
  if (!(minutes >= 0)) return open(item, 'has an answer that cannot be')
  if (minutes <= tell) return passed(item)
  const seen = `redness is seen for ${minutes} minutes`
  if (minutes <= stop)
    return judged(item, 'tell', {
      therapist: `${seen}, over ${tell}: look at the fit there`,
      family: `the redness stays longer than ${tell} minutes. Please tell us, so that we can have a look.`,
    })
  return judged(item, 'stop', {
    therapist: `${seen}, over ${stop}: off until it has been seen and eased`,
    family: `the redness stays longer than ${stop} minutes. Please leave it off and call us.`,
  })
}

const passed = (item: FitCheckItem): JudgedItem =>
  judged(item, 'pass', { therapist: `${spoken(item)} is as it should be`, family: 'this is fine.' })

function adjusted(item: FitCheckItem, remedy: Remedy | undefined): JudgedItem {
  // Every item that can fail has its remedy, which a test checks.
  if (remedy === undefined) throw new Error(`no remedy for the fit check item ${item.id}`)
  return { ...judged(item, 'adjust', remedy.wording), adjustment: remedy.adjustment }
}

function open(item: FitCheckItem, why: string): JudgedItem {
  const { therapist } = sided(item, { therapist: `${spoken(item)} ${why}`, family: '' })
  const family = `We still need an answer: ${item.question.family}`
  return { verdict: 'unknown', wording: { therapist, family } }
}

const judged = (
  item: FitCheckItem,
  verdict: FitVerdict,
  wording: Wording,
): Pick<JudgedItem, 'verdict' | 'wording'> => ({ verdict, wording: sided(item, wording) })

const sided = ({ side }: FitCheckItem, { therapist, family }: Wording): Wording => ({
  therapist: sentence(side === undefined ? therapist : `${side}: ${therapist}`),
  family: sentence(side === undefined ? family : `${side} foot: ${family}`),
})

const spoken = ({ id }: FitCheckItem): string => id.replaceAll('-', ' ')
