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
import { readVersions, type StoredVersion } from '../storage/resources.ts'
import type { Tx } from '../storage/transaction.ts'
import { versionReference } from './new-version.ts'
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
  const filledIn = factItems(response, at).flatMap((placed) => {
    const [source, ...others] = new Set(sourcesOf(placed.item))
    return source === undefined ? [] : [{ placed, source: others.length === 0 ? source : '' }]
  })
  const known = await sourceVersions(
    tx,
    clinicId,
    filledIn.map(({ source }) => source),
  )
  return filledIn
    .filter(({ placed, source }) => !isSaidBy(known.get(source), placed))
    .map(({ placed }) => ({
      severity: 'error',
      code: 'business-rule',
      expression: placed.itemAt,
      rule: 'answer-source',
      text: 'This is not what its answer-source says. Leave the extension out of an answer that was changed.',
    }))
}

/** The versions that are named as sources and are in sight, read at once. */
async function sourceVersions(
  tx: Tx,
  clinicId: string,
  sources: readonly string[],
): Promise<ReadonlyMap<string, StoredVersion>> {
  const keys = sources.flatMap((source) => {
    const [, id, version] = /^Observation\/([^/]+)\/_history\/(\d{1,9})$/.exec(source) ?? []
    return id === undefined ? [] : [{ type: 'Observation', id, version: Number(version) }]
  })
  const found = await readVersions(tx, clinicId, keys)
  return new Map(found.map((one) => [versionReference(one), one]))
}

function isSaidBy(stored: StoredVersion | undefined, { item }: PlacedItem): boolean {
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
