import { AppError } from '../errors.ts'
import { SYSTEMS } from '../fhir/codes.ts'
import { parseText } from '../fhir/json-body.ts'
import type { Library, Resource } from '../fhir/r4/types.ts'
import { ruleSetName, type RuleSetName } from '../fhir/rule-set-library.ts'
import { serialise } from '../storage/idempotency.ts'
import type { NewVersion } from '../storage/resource-writes.ts'
import { readResource } from '../storage/resources.ts'
import { activeRuleSet, namedRuleSets } from '../storage/rule-sets.ts'
import type { Tx } from '../storage/transaction.ts'
import type { Context } from './context.ts'
import { newVersion } from './new-version.ts'

interface Standing {
  readonly resourceAt: string
  readonly resource: Resource
}

/** Rule sets of a clinic are changed one after the other, so that at most one is active. */
const lockRuleSets = (tx: Tx, clinicId: string): Promise<void> =>
  serialise(tx, [`rule-sets ${clinicId}`])

/** Refuses new rule sets that are not drafts, or whose version is kept already. */
export async function refuseNewRuleSets(
  tx: Tx,
  context: Context,
  clinicId: string,
  entries: readonly Standing[],
): Promise<void> {
  const libraries = entries.flatMap(({ resource, resourceAt }) =>
    resource.resourceType === 'Library' ? [{ library: resource, at: resourceAt }] : [],
  )
  if (libraries.length === 0) return
  await lockRuleSets(tx, clinicId)
  const taken = new Set<string>()
  for (const { library, at } of libraries) {
    if (library.status !== 'draft')
      throw forbidden(`${at}.status`, 'A new rule set is a draft; it is made active by an update.')
    const name = ruleSetName(library)
    await refuseTaken(tx, context, clinicId, { at, name, own: undefined })
    const key = `${name.id}|${name.version}`
    if (taken.has(key)) throw repeated(at)
    taken.add(key)
  }
}

interface Naming {
  readonly at: string
  readonly name: RuleSetName
  /** The id of the Library that has the name, if it has it already. */
  readonly own: string | undefined
}

/** What a result names must be one rule set, and stay it. */
async function refuseTaken(
  tx: Tx,
  { ruleSet }: Context,
  clinicId: string,
  { at, name, own }: Naming,
): Promise<void> {
  const isShipped = name.id === ruleSet.id && name.version === ruleSet.version
  const stored = await namedRuleSets(tx, clinicId, { system: SYSTEMS.ruleSet, ...name })
  if (isShipped || stored.some(({ id }) => id !== own)) throw repeated(at)
}

/**
 * What else is written when a rule set is changed: the one that was active retires when another becomes
 * active. Throws for a step that the states do not have: draft → active → retired, a draft may be
 * changed, and what has been active keeps its content.
 */
export async function ruleSetChange(
  tx: Tx,
  context: Context,
  clinicId: string,
  { id, next }: { readonly id: string; readonly next: Library },
): Promise<NewVersion[]> {
  await lockRuleSets(tx, clinicId)
  const stored = await readResource(tx, { clinicId, type: 'Library', id })
  if (stored === undefined) return []
  refuseStep(libraryOf(stored.body), next)
  await refuseTaken(tx, context, clinicId, { at: 'Library', name: ruleSetName(next), own: id })
  if (next.status !== 'active') return []
  const active = await activeRuleSet(tx, clinicId)
  if (active === undefined) return []
  const retired: Library = { ...libraryOf(active.body), status: 'retired' }
  const updatedAt = context.now().toISOString()
  const { baseUrl } = context
  const key = { id: active.id, version: active.version + 1, partnerId: undefined }
  return [newVersion(retired, { ...key, updatedAt, baseUrl })]
}

function refuseStep(now: Library, next: Library): void {
  const step = `${now.status} ${next.status}`
  if (step === 'draft draft' || step === 'draft active') return
  if (now.status === 'retired')
    throw forbidden('Library.status', 'A retired rule set stays as it is. Send a new draft.')
  if (step !== 'active retired')
    throw forbidden(
      'Library.status',
      now.status === 'active'
        ? 'An active rule set can only be retired. Send changes as a new draft.'
        : 'A draft stays a draft or becomes active; it has nothing to retire from.',
    )
  if (contentOf(now) !== contentOf(next))
    throw forbidden(
      'Library.content',
      'A rule set that has been active keeps its id, version and content.',
    )
}

const contentOf = (library: Library): string => {
  const { id, version } = ruleSetName(library)
  return [id, version, library.content?.[0]?.data].join('\n')
}

function libraryOf(body: string): Library {
  const parsed = parseText(body)
  if (!parsed.ok) throw new Error('A stored rule set is not JSON')
  return parsed.value as Library
}

const forbidden = (expression: string, text: string): AppError =>
  new AppError('business-rule', 'The rule set cannot be changed so.', [
    { severity: 'error', code: 'business-rule', expression, rule: 'rule-set.status', text },
  ])

const repeated = (at: string): AppError =>
  new AppError('business-rule', 'This version of the rule set is kept already.', [
    {
      severity: 'error',
      code: 'duplicate',
      expression: `${at}.version`,
      rule: 'rule-set.version',
      text: 'A rule set of this id and version is kept already. Send another version.',
    },
  ])
