import { AppError } from '../../errors.ts'
import type { Side } from '../child.ts'
import type { Evidence } from '../facts.ts'
import {
  FIT_VERDICTS,
  fitItem,
  type FitVerdict,
  fitVerdict,
  type JudgedItem,
} from './fit-check-verdict.ts'
import { type Message, say, together } from '../messages/message.ts'
import type { FitCheckId, FitCheckItem } from '../plan/fitting.ts'
import type { RuleSet } from '../rules/rule-set.ts'
import type { Finding, Truth } from '../truth.ts'

/** What somebody answered to one item; an item nobody answered has no answer, or an unknown one. */
export interface FitCheckAnswer {
  readonly id: string
  readonly side?: Side
  readonly value: boolean | number | 'unknown'
  readonly evidence: Evidence
}

export interface FitItemResult extends JudgedItem {
  readonly id: FitCheckId
  readonly side?: Side
  /** `fit-check.<id>.<side>`: whether the item is right. */
  readonly finding: Finding
}

export interface FitCheckResult {
  readonly verdict: FitVerdict
  /** In the order of the questions. */
  readonly items: readonly FitItemResult[]
  /** Without a usable answer. */
  readonly unanswered: readonly Pick<FitCheckItem, 'id' | 'side'>[]
  /** `fit-check`: whether every item is right. */
  readonly finding: Finding
  readonly wording: Message
}

/**
 * Does the device fit, what must be changed by how many mm, or must it come off?
 *
 * Per item by its tolerance, both ends inside. Redness past the lower limit of the rule set is told,
 * past the upper one the device comes off. Stop outranks adjust, that tell, that unknown, that pass:
 * what nobody answered, answers that disagree and values that cannot be leave the check open.
 * Nothing asked is unknown too.
 *
 * @param items as the fit check asked them
 * @throws AppError `business-rule` for an answer to nothing that was asked, or of another kind
 * @see SOURCES orthosis-leaflets (redness); tolerances of the items
 */
export function fitCheckResult(
  items: readonly FitCheckItem[],
  answers: readonly FitCheckAnswer[],
  rules: RuleSet,
): FitCheckResult {
  if (answers.some((answer) => !items.some((item) => asks(item, answer))))
    throw new AppError('business-rule', 'an answer belongs to no item of the fit check')
  const results = items.map((item) =>
    itemResult(
      item,
      answers.filter((answer) => asks(item, answer)),
      rules,
    ),
  )
  const verdict = FIT_VERDICTS.find((one) => results.some((result) => result.verdict === one))
  const open = results.filter((result) => result.verdict === 'unknown')
  const overall = verdict ?? 'unknown'
  const because = summary(results)
  return {
    verdict: overall,
    items: results,
    unanswered: open.map(({ id, side }) => ({ id, ...(side && { side }) })),
    finding: {
      rule: 'fit-check',
      holds: HOLDS[overall],
      because,
      sources: [...new Set(results.flatMap(({ finding }) => finding.sources))],
      evidence: [...new Set(results.flatMap(({ finding }) => finding.evidence))].toSorted(),
    },
    wording: because,
  }
}

const asks = (item: FitCheckItem, answer: FitCheckAnswer): boolean =>
  item.id === answer.id && item.side === answer.side

const HOLDS: Readonly<Record<FitVerdict, Truth>> = {
  stop: 'no',
  adjust: 'no',
  tell: 'no',
  unknown: 'unknown',
  pass: 'yes',
}

/** What each verdict rests on, the weightiest first; what passed is said only when everything did. */
function summary(results: readonly FitItemResult[]): Message {
  if (results.length === 0) return say('fit-check.nothing-asked')
  const said = FIT_VERDICTS.flatMap((verdict) => {
    const of = results.filter((result) => result.verdict === verdict)
    return of.length === 0 || verdict === 'pass'
      ? []
      : [say(`fit-check.${verdict}`, { items: of.map(fitItem) })]
  })
  return said.length === 0 ? say('fit-check.pass') : together(said)
}

function itemResult(
  item: FitCheckItem,
  answers: readonly FitCheckAnswer[],
  rules: RuleSet,
): FitItemResult {
  const { id, side, sources } = item
  const judged = fitVerdict(
    item,
    answers.map(({ value }) => value),
    rules,
  )
  return {
    id,
    ...(side && { side }),
    ...judged,
    finding: {
      rule: ['fit-check', id, side].filter((word) => word !== undefined).join('.'),
      holds: HOLDS[judged.verdict],
      because: judged.wording,
      sources,
      evidence: [...new Set(answers.map(({ evidence }) => evidence))].toSorted(),
    },
  }
}
