import { AppError } from '../../errors.ts'
import { type Adjustment, type Remedy, remedyOfMm, remedyOfNo } from './fit-check-remedy.ts'
import { type Message, type Said, say } from '../messages/message.ts'
import type { FitCheckItem } from '../plan/fitting.ts'
import type { RuleSet } from '../rules/rule-set.ts'

/** The first outranks those after it. */
export const FIT_VERDICTS = ['stop', 'adjust', 'tell', 'unknown', 'pass'] as const
export type FitVerdict = (typeof FIT_VERDICTS)[number]

export interface JudgedItem {
  readonly verdict: FitVerdict
  readonly adjustment?: Adjustment
  readonly wording: Message
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
  if (only === undefined) return open(item, 'not-answered')
  if (judged.length === 1) return only
  const stop = judged.find(({ verdict }) => verdict === 'stop')
  return stop ?? open(item, 'answers-disagree')
}

function verdictOf(item: FitCheckItem, value: boolean | number, rules: RuleSet): JudgedItem {
  if ((typeof value === 'boolean') !== (item.answer === 'yes-no'))
    throw new AppError('business-rule', 'an answer is not of the kind that its question asks for')
  if (typeof value === 'boolean') return value ? passed(item) : adjusted(item, remedyOfNo(item))
  if (!Number.isFinite(value)) return open(item, 'cannot-be')
  return item.answer === 'minutes' ? redness(item, value, rules) : inMm(item, value, rules)
}

function inMm(item: FitCheckItem, mm: number, rules: RuleSet): JudgedItem {
  const { min, max } = item.tolerance ?? { min: -Infinity, max: Infinity }
  return mm >= min && mm <= max ? passed(item) : adjusted(item, remedyOfMm(item, mm, rules))
}

function redness(item: FitCheckItem, minutes: number, { fitting }: RuleSet): JudgedItem {
  const { rednessTellMinutes: tell, rednessStopMinutes: stop } = fitting
  if (!(minutes >= 0)) return open(item, 'cannot-be')
  if (minutes <= tell) return passed(item)
  const verdict = minutes <= stop ? 'tell' : 'stop'
  const side = item.side ?? 'child'
  return {
    verdict,
    wording: say(`fit-verdict.redness-${verdict}`, { side, minutes, tell, stop }),
  }
}

const passed = (item: FitCheckItem): JudgedItem => ({
  verdict: 'pass',
  wording: say('fit-verdict.as-it-should-be', { item: fitItem(item) }),
})

function adjusted({ id }: FitCheckItem, remedy: Remedy | undefined): JudgedItem {
  // Every item that can fail has its remedy, which a test checks.
  if (remedy === undefined) throw new Error(`no remedy for the fit check item ${id}`)
  return { verdict: 'adjust', ...remedy }
}

/** The family is asked again. */
const open = (
  item: FitCheckItem,
  why: 'not-answered' | 'answers-disagree' | 'cannot-be',
): JudgedItem => ({
  verdict: 'unknown',
  wording: say(`fit-verdict.${why}`, { item: fitItem(item), question: item.question }),
})

/** What an item of the fit check is called within a sentence, with its side. */
export const fitItem = ({ id, side }: Pick<FitCheckItem, 'id' | 'side'>): Said =>
  say('part.fit-item', { item: say(`fit-item.${id}`), side: side ?? 'child' })
