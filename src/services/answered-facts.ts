import { createHash } from 'node:crypto'
import { writeJson } from '../fhir/decimal.ts'
import { informationAnswers } from '../fhir/information-answers.ts'
import type { Observation, QuestionnaireResponse } from '../fhir/r4/types.ts'
import { readOfChild } from '../storage/resources.ts'
import type { Tx } from '../storage/transaction.ts'
import type { Context } from './context.ts'
import { latestDay } from './day.ts'
import { type Entry, readEntry } from './referral-record.ts'
import { isStableId, stableId } from './stable-id.ts'

/** An answer to one of our forms, and whose it is. */
export interface AnswerOf {
  /** With the id under which it is kept, where it is. */
  readonly response: QuestionnaireResponse
  readonly at: string
  readonly partnerId: string | undefined
  readonly child: string
  /** The observations that it was before. */
  readonly kept: readonly Entry<Observation>[]
}

/** The observations that an answer is, each with its id: the same answers sent again are the same ones. */
export function answeredFacts(
  context: Context,
  clinicId: string,
  { response, at, partnerId, child, kept }: AnswerOf,
): { readonly id: string; readonly observation: Observation }[] {
  const source = sourceOf(response)
  return informationAnswers(response, at, latestDay(context)).facts.map(
    ({ linkId, observation }) => ({
      id:
        kept.find((entry) => isSameFact(entry.resource, observation))?.stored.id ??
        stableId(['answer', clinicId, partnerId ?? '', child, source, linkId].join('\n')),
      observation,
    }),
  )
}

/** By its sender's identifier, or else by what it says: sent twice, it is the same. */
function sourceOf({ questionnaire, identifier, authored, item }: QuestionnaireResponse): string {
  const form = questionnaire?.split('|')[0] ?? ''
  const { system = '', value } = identifier ?? {}
  if (value !== undefined) return `${form} ${system}|${value}`
  return `${form} ${createHash('sha256')
    .update(writeJson([authored, item]))
    .digest('hex')}`
}

/** The observations that an answer was before. */
export async function answeredBefore(
  tx: Tx,
  clinicId: string,
  { child, own }: { readonly child: string; readonly own: string },
): Promise<Entry<Observation>[]> {
  const observations = await readOfChild(tx, clinicId, child, ['Observation'])
  return observations
    .filter(({ id }) => isStableId(id))
    .map(readEntry)
    .filter((entry): entry is Entry<Observation> => entry.resource.resourceType === 'Observation')
    .filter(({ resource }) => resource.derivedFrom?.some(({ reference }) => reference === own))
}

const isSameFact = (one: Observation, other: Observation): boolean =>
  JSON.stringify([one.code.coding, one.bodySite?.coding]) ===
  JSON.stringify([other.code.coding, other.bodySite?.coding])
