import { isDeepStrictEqual } from 'node:util'
import { isAnswered, isInformationAnswer } from '../fhir/information-answers.ts'
import type { Observation, QuestionnaireResponse, Resource } from '../fhir/r4/types.ts'
import type { Caller } from '../security/access-token.ts'
import { readOfChild, readResources } from '../storage/resources.ts'
import type { Tx } from '../storage/transaction.ts'
import { answeredBefore, answeredFacts } from './answered-facts.ts'
import { refuseUnasked } from './asked-answers.ts'
import type { Context } from './context.ts'
import type { Change } from './intake-triage.ts'
import { newVersion, versionReference } from './new-version.ts'
import { type Entry, readEntry } from './referral-record.ts'
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
    // Two copies of an answer that come together say the same.
    for (const made of await observationsOf(tx, context, caller, { change, now, changes }))
      if (!all.some(({ written: { stored } }) => isSame(stored, made.written.stored)))
        all.push(made)
  }
  return all
}

type Key = Pick<Change['written']['stored'], 'type' | 'id'>

const isSame = (one: Key, other: Key): boolean => one.type === other.type && one.id === other.id

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
  /** All that is written with it. */
  readonly changes: readonly Change[]
}

async function observationsOf(
  tx: Tx,
  context: Context,
  { clinicId }: Caller,
  { change, now, changes }: Answer,
): Promise<Change[]> {
  const { stored } = change.written
  const child = stored.search.patientId
  if (child === undefined) return []
  const at = change.resourceAt
  if (now !== undefined) await refuseUnasked(tx, clinicId, { at, now, child })
  const { partnerId, id } = stored
  const kept =
    stored.version === 1
      ? []
      : await answeredBefore(tx, clinicId, { child, own: `QuestionnaireResponse/${id}` })
  const wanted =
    now === undefined
      ? []
      : answeredFacts(context, clinicId, { response: { ...now, id }, at, partnerId, child, kept })
  const keys = wanted.map((one) => ({ type: 'Observation', id: one.id }))
  const known = new Map(
    (await readResources(tx, clinicId, keys)).map((one) => [one.id, readEntry(one)] as const),
  )
  const left = kept.filter((entry) => !wanted.some((one) => one.id === entry.stored.id))
  const standing =
    left.length === 0
      ? []
      : await answersBeside(tx, clinicId, { child, partnerId, change, changes })
  const elsewhere = standing.flatMap((response) =>
    answeredFacts(context, clinicId, { response, at, partnerId, child, kept: [] }),
  )
  return [
    ...wanted.flatMap((one) => changeTo(context, { change, ...one, before: known.get(one.id) })),
    ...left.flatMap((entry) => {
      const again = elsewhere.find((one) => one.id === entry.stored.id)?.observation
      const observation: Observation = again ?? { ...entry.resource, status: 'entered-in-error' }
      const isMoved = again !== undefined
      return changeTo(context, { change, id: entry.stored.id, observation, before: entry, isMoved })
    }),
  ]
}

interface Wanted {
  readonly change: Change
  readonly id: string
  readonly observation: Observation
  readonly before: Entry | undefined
  /** Made of another answer now, which says the same. */
  readonly isMoved?: boolean
}

function changeTo(
  { baseUrl }: Context,
  { change, id, observation, before, isMoved = false }: Wanted,
): Change[] {
  const isAmended = before !== undefined && observation.status === 'final'
  const resource: Observation = isAmended ? { ...observation, status: 'amended' } : observation
  if (before !== undefined && !isMoved && isSaid(before.resource, observation)) return []
  const { partnerId, updatedAt } = change.written.stored
  const version = (before?.stored.version ?? 0) + 1
  const stored = newVersion(resource, { id, version, partnerId, updatedAt, baseUrl })
  const childBefore = before === undefined ? undefined : stored.search.patientId
  const written = { stored, reference: versionReference(stored), resource }
  return [{ resourceAt: change.resourceAt, before, childBefore, written }]
}

/** The answers of a partner about a child that stand, as they are written now, but for the one that is looked at. */
async function answersBeside(
  tx: Tx,
  clinicId: string,
  {
    child,
    partnerId,
    change,
    changes,
  }: Pick<Answer, 'change' | 'changes'> & {
    readonly child: string
    readonly partnerId: string | undefined
  },
): Promise<QuestionnaireResponse[]> {
  const kept = (await readOfChild(tx, clinicId, child, ['QuestionnaireResponse'])).filter(
    (one) => !changes.some(({ written: { stored } }) => isSame(stored, one)),
  )
  const beside = [
    ...kept.map((stored) => ({ stored, resource: readEntry(stored).resource })),
    ...changes.flatMap(({ written }) =>
      written.stored.search.patientId === child && !isSame(written.stored, change.written.stored)
        ? written
        : [],
    ),
  ]
  return beside.flatMap(({ stored, resource }) => {
    const answer = answerOf(resource)
    const isTheirs = stored.partnerId === partnerId
    if (answer === undefined || !isTheirs) return []
    return [{ ...answer, id: stored.id }]
  })
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
