import { createHash } from 'node:crypto'
import { isDeepStrictEqual } from 'node:util'
import { writeJson } from '../fhir/decimal.ts'
import {
  type AnsweredFact,
  informationAnswers,
  isAnswered,
  isInformationAnswer,
} from '../fhir/information-answers.ts'
import type { Observation, QuestionnaireResponse, Resource } from '../fhir/r4/types.ts'
import type { Caller } from '../security/access-token.ts'
import { readOfChild, readResources } from '../storage/resources.ts'
import type { Tx } from '../storage/transaction.ts'
import { refuseUnasked } from './asked-answers.ts'
import type { Context } from './context.ts'
import { latestDay } from './day.ts'
import type { Change } from './intake-triage.ts'
import { newVersion, versionReference } from './new-version.ts'
import { type Entry, readEntry } from './referral-record.ts'
import { isStableId, stableId } from './stable-id.ts'
import { refuseMissing } from './unit-of-work.ts'

/**
 * Everything that is about to be written with the observations that answers to our forms are: made with the
 * answer, changed with it, taken out with it. The same answers sent again are the same observations.
 */
export async function withAnswers(
  tx: Tx,
  context: Context,
  caller: Caller,
  changes: readonly Change[],
): Promise<Change[]> {
  const all = [...changes]
  for (const change of changes) {
    const now = answerOf(change.written.resource)
    const before = answerOf(change.before?.resource)
    if (now === undefined && before === undefined) continue
    const letter = before === undefined ? 'c' : 'u'
    refuseMissing(caller, [{ type: 'Observation', letter }])
    all.push(...(await observationsOf(tx, context, caller, { change, now })))
  }
  return all
}

/** An answer to one of our forms that was given for good. */
const answerOf = (resource: Resource | undefined): QuestionnaireResponse | undefined =>
  resource?.resourceType === 'QuestionnaireResponse' &&
  isInformationAnswer(resource) &&
  isAnswered(resource)
    ? resource
    : undefined

interface Answer {
  readonly change: Change
  /** None when it was taken back. */
  readonly now: QuestionnaireResponse | undefined
}

async function observationsOf(
  tx: Tx,
  context: Context,
  { clinicId }: Caller,
  { change, now }: Answer,
): Promise<Change[]> {
  const { stored } = change.written
  const child = stored.search.patientId
  if (child === undefined) return []
  if (now !== undefined) await refuseUnasked(tx, clinicId, { change, now, child })
  const own = `QuestionnaireResponse/${stored.id}`
  const facts =
    now === undefined
      ? []
      : informationAnswers({ ...now, id: stored.id }, change.resourceAt, latestDay(context)).facts
  const kept = stored.version === 1 ? [] : await keptOf(tx, clinicId, { child, own })
  const source = now === undefined ? '' : sourceOf(now)
  const idOf = ({ linkId, observation }: AnsweredFact): string =>
    kept.find((entry) => isSameFact(entry.resource, observation))?.stored.id ??
    stableId(['answer', clinicId, stored.partnerId ?? '', child, source, linkId].join('\n'))
  const wanted = facts.map((fact) => ({ id: idOf(fact), observation: fact.observation }))
  const keys = wanted.map(({ id }) => ({ type: 'Observation', id }))
  const known = new Map(
    (await readResources(tx, clinicId, keys)).map((one) => [one.id, readEntry(one)] as const),
  )
  const left = kept.filter(({ stored: { id } }) => !wanted.some((one) => one.id === id))
  return [
    ...wanted.flatMap(({ id, observation }) =>
      changeTo(context, { change, id, observation, before: known.get(id) }),
    ),
    ...left.flatMap((entry) => {
      const observation: Observation = { ...entry.resource, status: 'entered-in-error' }
      return changeTo(context, { change, id: entry.stored.id, observation, before: entry })
    }),
  ]
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
async function keptOf(
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

interface Wanted {
  readonly change: Change
  readonly id: string
  readonly observation: Observation
  readonly before: Entry | undefined
}

function changeTo({ baseUrl }: Context, { change, id, observation, before }: Wanted): Change[] {
  const isAmended = before !== undefined && observation.status === 'final'
  const resource: Observation = isAmended ? { ...observation, status: 'amended' } : observation
  if (before !== undefined && isSaid(before.resource, observation)) return []
  const { partnerId, updatedAt } = change.written.stored
  const version = (before?.stored.version ?? 0) + 1
  const stored = newVersion(resource, { id, version, partnerId, updatedAt, baseUrl })
  const childBefore = before === undefined ? undefined : stored.search.patientId
  const written = { stored, reference: versionReference(stored), resource }
  return [{ resourceAt: change.resourceAt, before, childBefore, written }]
}

/** Does an observation say this already, whichever copy of the answer it was made of? */
function isSaid(before: Resource, observation: Observation): boolean {
  if (before.resourceType !== 'Observation') return false
  return isDeepStrictEqual(contentOf(before), contentOf(observation))
}

const contentOf = ({ id, meta, derivedFrom, status, ...rest }: Observation) => ({
  ...rest,
  isGone: status === 'entered-in-error',
})
