import { isDeepStrictEqual } from 'node:util'
import type { Fault } from '../errors.ts'
import { answerOf } from '../fhir/fact-answers.ts'
import { factItems, type PlacedItem, sourcesOf } from '../fhir/information-answers.ts'
import { questionOfLink } from '../fhir/information-questions.ts'
import type {
  QuestionnaireResponse,
  QuestionnaireResponseItem,
  QuestionnaireResponseItemAnswer,
} from '../fhir/r4/types.ts'
import { readVersion } from '../storage/resources.ts'
import type { Tx } from '../storage/transaction.ts'
import { readEntry } from './referral-record.ts'

/**
 * Answers that name what they were filled in from, and are not what that says: somebody changed them. As they
 * make no observation of their own, the change would be lost.
 */
export async function alteredAnswers(
  tx: Tx,
  clinicId: string,
  { response, at }: { readonly response: QuestionnaireResponse; readonly at: string },
): Promise<Fault[]> {
  const faults: Fault[] = []
  for (const placed of factItems(response, at)) {
    const [source, ...others] = new Set(sourcesOf(placed.item))
    if (source === undefined) continue
    if (others.length === 0 && (await isSaidBy(tx, clinicId, { source, placed }))) continue
    faults.push({
      severity: 'error',
      code: 'business-rule',
      expression: placed.itemAt,
      rule: 'answer-source',
      text: 'This is not what its answer-source says. Leave the extension out of an answer that was changed.',
    })
  }
  return faults
}

async function isSaidBy(
  tx: Tx,
  clinicId: string,
  { source, placed: { item } }: { readonly source: string; readonly placed: PlacedItem },
): Promise<boolean> {
  const [, id = '', version = ''] = /^Observation\/([^/]+)\/_history\/(\d{1,9})$/.exec(source) ?? []
  const key = { clinicId, type: 'Observation', id, version: Number(version) }
  const stored = id === '' ? undefined : await readVersion(tx, key)
  if (stored === undefined || stored.deleted) return false
  const { resource } = readEntry(stored)
  const question = questionOfLink(item.linkId)
  if (resource.resourceType !== 'Observation' || question === undefined) return false
  const { answer, item: parts } = item
  const said = answerOf(resource, question)
  return (
    isDeepStrictEqual(answer?.map(plain), said?.answer) &&
    isDeepStrictEqual(parts?.map(plainPart), said?.item)
  )
}

const plain = ({ extension: _from, ...answer }: QuestionnaireResponseItemAnswer) => answer

const plainPart = ({ answer, ...part }: QuestionnaireResponseItem) => ({
  ...part,
  ...(answer === undefined ? {} : { answer: answer.map(plain) }),
})
