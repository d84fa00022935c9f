import type { Regime } from '../domain/law/consent-gate.ts'
import { childFaults } from '../fhir/child-reference.ts'
import { referencesIn } from '../fhir/reference-map.ts'
import { ownTarget } from '../fhir/literal-reference.ts'
import type { WriteOperation } from '../fhir/operations.ts'
import { AppError } from '../errors.ts'
import type { Caller } from '../security/access-token.ts'
import { awaitChildren } from '../storage/child-locks.ts'
import { insertVersions, type NewVersion } from '../storage/resource-writes.ts'
import type { StoredVersion } from '../storage/resources.ts'
import { seeWholeClinic, seeWholeTypes } from '../storage/scope.ts'
import type { Tx } from '../storage/transaction.ts'
import { withAddressees } from './addressed.ts'
import { changesOf, childOf } from './changes.ts'
import { refuseWithoutConsent, regimeOfSender } from './consent-gate.ts'
import { settleConsents } from './consent-out.ts'
import type { Context } from './context.ts'
import { refuseClinicTasks } from './clinic-tasks.ts'
import { currentVersions } from './current-versions.ts'
import { withAnswers } from './information-answers.ts'
import { followUpOfIntake } from './intake-follow-up.ts'
import { type Change, triageOfIntake } from './intake-triage.ts'
import { type Content, newContents, refuseSubset } from './new-contents.ts'
import { withRecords } from './records.ts'
import { readEntry } from './referral-record.ts'
import { narrowingSetting, refuseOutsideGrant } from './narrowed-sight.ts'
import { noteWritten } from './noted.ts'
import { refuseMixedChildren } from './mixed-children.ts'
import { refuseDangling } from './dangling-references.ts'
import { refuseTellingPartners } from './partner-links.ts'
import { refuseReferredTo } from './referred-to.ts'
import { awaitReferrals, referralSteps } from './referral-steps.ts'
import { refuseNewRuleSets, ruleSetChange } from './rule-set-states.ts'
import { refuseRepeatedChart } from './size-charts.ts'
import { settleSubscriptions } from './subscription-writes.ts'
import { targetsOf } from './targets.ts'

/** What is sent back of one version. */
export type Kept = Pick<StoredVersion, 'type' | 'id' | 'version' | 'body' | 'updatedAt'>

/** What became of one write. */
export interface Done {
  readonly operation: WriteOperation
  readonly did: 'created' | 'updated' | 'deleted' | 'nothing'
  /** The version that is kept now; none where nothing is there. */
  readonly kept: Kept | undefined
  /** It was done before, by the same request under the same key. */
  readonly isRepeated?: true
}

/**
 * Does what was asked, all or nothing, in the order that R4 sets for a transaction: every interaction
 * that changes something comes through here. What comes in about a child computes its open referrals anew.
 *
 * @param operations checked against R4 and our profiles
 */
export async function write(
  tx: Tx,
  context: Context,
  caller: Caller,
  operations: readonly WriteOperation[],
): Promise<Done[]> {
  const { clinicId } = caller
  await refuseRepeatedChart(tx, clinicId, operations)
  // Sent together: one way there and back for all that does not wait for each other.
  const [targets, regime] = await Promise.all([
    targetsOf(tx, context, caller, operations),
    regimeOfSender(tx, caller),
  ])
  await awaitReferrals(tx, caller, targets)
  const standing = await currentVersions(tx, caller, targets)
  const sent = await newContents(tx, context, caller, standing)
  const asked = await withAddressees(tx, context, caller, sent)
  refuseClinicTasks(caller, asked)
  await awaitTriages(tx, context, caller, asked)
  const isClosed = await refuseDangling(tx, context, caller, asked)
  await refuseTellingPartners(tx, context, caller, asked)
  refuseWithoutChild(context, asked)
  // What our own checks must know of is not what a narrowed token may see.
  if (narrowingSetting(caller.scopes) !== undefined) await seeWholeTypes(tx)
  const { contents, along } = await referralSteps(tx, context, caller, asked)
  // The time is taken after every triage that was waited for, so what is older than a triage was seen by it.
  const changes = changesOf(context, caller, [...contents, ...along])
  const own = changes.slice(0, changes.length - along.length)
  await refuseMixedChildren(tx, context, caller, own)
  await refuseOutsideGrant(tx, caller, own)
  await admit(tx, context, caller, { contents, changes, regime })
  const besides = await ruleSetChanges(tx, context, clinicId, contents)
  await refuseReferredTo(tx, caller, contents)
  const answered = await withAnswers(tx, context, caller, changes)
  const derived = await triageOfIntake(tx, context, caller, answered)
  derived.push(...(await followUpOfIntake(tx, context, caller, answered)))
  const versions = answered.map(({ written }) => written.stored)
  const all = await withRecords(tx, context, clinicId, [...besides, ...versions, ...derived])
  if (isClosed) await seeWholeClinic(tx)
  await insertVersions(tx, clinicId, all)
  noteWritten(caller, all)
  await settleConsents(tx, context, caller, changes)
  await settleSubscriptions(tx, context, caller, changes)
  return contents.map((content) => doneOf(content, changes))
}

/** What our own rules ask of content: the law of the sender, the states of rule sets. */
async function admit(
  tx: Tx,
  context: Context,
  caller: Caller,
  {
    contents,
    changes,
    regime,
  }: {
    readonly contents: readonly Content[]
    readonly changes: readonly Change[]
    readonly regime: Regime | undefined
  },
): Promise<void> {
  for (const { resource, operation, does } of contents)
    if (resource !== undefined && does !== 'nothing') refuseSubset(resource, operation.resourceAt)
  await refuseWithoutConsent(tx, context, caller, { regime, changes })
  const created = contents.flatMap(({ resource, operation: { resourceAt }, does }) =>
    resource === undefined || does !== 'create' ? [] : [{ resource, resourceAt }],
  )
  await refuseNewRuleSets(tx, context, caller.clinicId, created)
}

async function ruleSetChanges(
  tx: Tx,
  context: Context,
  clinicId: string,
  contents: readonly Content[],
): Promise<NewVersion[]> {
  const besides: NewVersion[] = []
  for (const { resource, id, current } of contents)
    if (resource?.resourceType === 'Library' && current !== undefined)
      besides.push(...(await ruleSetChange(tx, context, clinicId, { id, next: resource })))
  return besides
}

/**
 * Waits for every triage of the children that are written about, before the time of the writing is taken:
 * so what is older than a triage was seen by it, and it can be repeated by its time.
 */
async function awaitTriages(
  tx: Tx,
  context: Context,
  { clinicId }: Caller,
  contents: readonly Content[],
): Promise<void> {
  const created = new Set(
    contents
      .filter(({ does }) => does === 'create')
      .map(({ operation, id }) => `${operation.type}/${id}`),
  )
  const named = contents.flatMap(({ resource, operation: { resourceAt, type }, id, current }) => {
    const references = resource === undefined ? [] : referencesIn(resource, resourceAt)
    const before =
      current === undefined || current.deleted
        ? []
        : [childOf(context, current, readEntry(current).resource) ?? []].flat()
    return [
      ...(type === 'Patient' && current !== undefined ? [id] : []),
      ...before,
      ...references.flatMap(({ reference }) => {
        const target = ownTarget(reference, context.baseUrl)
        return target?.type === 'Patient' && !created.has(`Patient/${target.id}`) ? [target.id] : []
      }),
    ]
  })
  await awaitChildren(tx, clinicId, [...new Set(named)])
}

function refuseWithoutChild({ baseUrl }: Context, contents: readonly Content[]): void {
  const present = contents.flatMap(({ resource, operation: { resourceAt } }) =>
    resource === undefined ? [] : [{ resource, resourceAt }],
  )
  const faults = childFaults(present, baseUrl)
  if (faults.length > 0)
    throw new AppError('invalid-resource', 'The resources are not about a child.', faults)
}

function doneOf(
  { operation, does, found, current, id }: Content,
  changes: readonly Change[],
): Done {
  if (does === 'nothing') return { operation, did: 'nothing', kept: found }
  const stored = changes
    .map(({ written }) => written.stored)
    .find((one) => one.type === operation.type && one.id === id)
  if (does === 'delete') return { operation, did: 'deleted', kept: stored }
  // What was deleted and is written again is created anew (R4 3.1.0.7).
  const did = current === undefined || current.deleted ? 'created' : 'updated'
  return { operation, did, kept: stored }
}
