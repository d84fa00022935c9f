import type { RuleSet } from '../domain/rules/rule-set.ts'
import { AppError } from '../errors.ts'
import { SYSTEMS } from '../fhir/codes.ts'
import { parseText } from '../fhir/json-body.ts'
import type { Library } from '../fhir/r4/types.ts'
import { readRuleSetLibrary } from '../fhir/rule-set-library.ts'
import type { Caller } from '../security/access-token.ts'
import { readResource } from '../storage/resources.ts'
import { activeRuleSet, activeRuleSetAt, namedRuleSets } from '../storage/rule-sets.ts'
import type { Tx } from '../storage/transaction.ts'
import type { Context } from './context.ts'

/** The rule set that a clinic made active, by a moment when one is given; the shipped one where none is. */
export async function ruleSetInForce(
  tx: Tx,
  { ruleSet, readRuleSet }: Context,
  clinicId: string,
  knownAt?: string,
): Promise<RuleSet> {
  const stored =
    knownAt === undefined
      ? await activeRuleSet(tx, clinicId)
      : await activeRuleSetAt(tx, clinicId, knownAt)
  return stored === undefined ? ruleSet : readRuleSet(stored.body)
}

/**
 * The rule set that is asked for by version or `id|version`, whatever its status; the shipped one is every
 * clinic's. A partner may ask for those that have decided: a draft is the clinic's own affair.
 */
export async function askedRuleSet(
  tx: Tx,
  { ruleSet, readRuleSet }: Context,
  { clinicId, partnerId }: Caller,
  asked: string,
): Promise<RuleSet> {
  const [, id, version] = /^(?:([A-Za-z0-9.-]{1,64})\|)?([A-Za-z0-9.-]{1,64})$/.exec(asked) ?? []
  if (version === undefined)
    throw refused('value', 'A rule set is asked for by its version, or as id|version.')
  const stored = await namedRuleSets(tx, clinicId, { system: SYSTEMS.ruleSet, id, version })
  const seen = stored.filter(({ status }) => partnerId === undefined || status !== 'draft')
  const isShipped = version === ruleSet.version && (id === undefined || id === ruleSet.id)
  const [first] = seen
  if (seen.length + (isShipped ? 1 : 0) > 1)
    throw refused('multiple-matches', 'Several rule sets have this version: ask for id|version.')
  if (isShipped) return ruleSet
  if (first === undefined) throw refused('not-found', 'This clinic has no such rule set.')
  return readRuleSet(first.body)
}

/** The rule set of a Library, whatever its status; undefined when there is none in sight. */
export async function ruleSetOf(
  tx: Tx,
  { readRuleSet }: Context,
  clinicId: string,
  id: string,
): Promise<RuleSet | undefined> {
  const stored = await readResource(tx, { clinicId, type: 'Library', id })
  return stored === undefined || stored.deleted ? undefined : readRuleSet(stored.body)
}

const refused = (code: string, text: string): AppError =>
  new AppError('invalid-request', text, [
    { severity: 'error', code, expression: 'http.ruleset', rule: 'operation-parameter', text },
  ])

/**
 * The rule set that a stored Library holds. It was checked when it came in; a later version of the service
 * may ask for more, and then nothing is decided until the clinic has a rule set that can be used.
 */
export function readStoredRuleSet(text: string): RuleSet {
  const parsed = parseText(text)
  if (!parsed.ok) throw new Error('A stored rule set is not JSON')
  const { rules, faults } = readRuleSetLibrary(parsed.value as Library)
  if (rules === undefined)
    throw new AppError(
      'business-rule',
      'This version of the service cannot use the stored rule set.',
      faults,
    )
  return rules
}
