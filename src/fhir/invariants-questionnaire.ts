import { distinct, has, type Invariant, invariant } from './invariant.ts'
import type { QuestionnaireItem } from './r4/types.ts'

const ITEM = 'Questionnaire.item'

/** Types that take answer options, and those that take a maximum length, as que-5 and que-10 list. */
const WITH_OPTIONS: ReadonlySet<string> = new Set(
  'choice open-choice decimal integer date dateTime time string quantity'.split(' '),
)
const WITH_LENGTH: ReadonlySet<string> = new Set(
  'boolean decimal integer string text url open-choice'.split(' '),
)

/** The published expression counts from three, though its text says "more than one". */
const MOST_WITHOUT_BEHAVIOR = 2

function allItems(items: readonly QuestionnaireItem[]): QuestionnaireItem[] {
  return items.flatMap((one) => [one, ...allItems(one.item ?? [])])
}

const isDisplay = ({ type }: QuestionnaireItem) => type === 'display'

export const QUESTIONNAIRE_INVARIANTS: readonly Invariant[] = [
  invariant(
    'Questionnaire',
    ['que-2', 'Every linkId must be given once in the questionnaire'],
    ({ item }) => distinct(allItems(item ?? []), ({ linkId }) => linkId),
  ),
  invariant(
    ITEM,
    ['que-1', 'A group needs items, a display has none'],
    ({ type, item }) =>
      (type !== 'group' || item !== undefined) && (type !== 'display' || item === undefined),
  ),
  invariant(
    ITEM,
    ['que-3', 'A display has no code'],
    (item) => !isDisplay(item) || item.code === undefined,
  ),
  invariant(
    ITEM,
    ['que-4', 'A question has answerOption or answerValueSet, not both'],
    (item) => item.answerOption === undefined || !has(item, 'answerValueSet'),
  ),
  invariant(
    ITEM,
    ['que-5', 'Items of this type have neither answerOption nor answerValueSet'],
    (item) =>
      WITH_OPTIONS.has(item.type) ||
      (item.answerOption === undefined && !has(item, 'answerValueSet')),
  ),
  invariant(
    ITEM,
    ['que-6', 'A display is neither required nor repeated'],
    (item) => !isDisplay(item) || (!has(item, 'required') && !has(item, 'repeats')),
  ),
  invariant(
    'Questionnaire.item.enableWhen',
    ['que-7', 'The answer to the operator exists must be a boolean'],
    (when) => when.operator !== 'exists' || has(when, 'answerBoolean'),
  ),
  invariant(
    ITEM,
    ['que-8', 'Groups and displays have no initial value'],
    ({ type, initial }) => initial === undefined || (type !== 'group' && type !== 'display'),
  ),
  invariant(
    ITEM,
    ['que-9', 'A display is not read-only'],
    (item) => !isDisplay(item) || !has(item, 'readOnly'),
  ),
  invariant(
    ITEM,
    ['que-10', 'maxLength is for simple questions only'],
    (item) => WITH_LENGTH.has(item.type) || !has(item, 'maxLength'),
  ),
  invariant(
    ITEM,
    ['que-11', 'A question with answerOption has no initial value'],
    ({ answerOption, initial }) => answerOption === undefined || initial === undefined,
  ),
  invariant(
    ITEM,
    ['que-12', 'Several enableWhen need an enableBehavior'],
    (item) =>
      (item.enableWhen ?? []).length <= MOST_WITHOUT_BEHAVIOR || has(item, 'enableBehavior'),
  ),
  invariant(
    ITEM,
    ['que-13', 'Only a repeating item has several initial values'],
    // As published: where nothing is said about repeating, the expression gives nothing.
    ({ repeats, initial }) => repeats !== false || (initial ?? []).length <= 1,
  ),
  invariant(
    'QuestionnaireResponse.item',
    ['qrs-1', 'Nested items stand under the item or under its answer, not both'],
    ({ answer, item }) => answer === undefined || item === undefined,
  ),
]
