import { AWAITS_CLINIC } from '../domain/referral/transition.ts'
import { FINDING_CODES } from '../fhir/finding-codes.ts'
import { ownTarget, type Target } from '../fhir/literal-reference.ts'
import { hasCode } from '../fhir/reading.ts'
import { isReferralTask } from '../fhir/referral-task.ts'
import { BUSINESS_STATUS_CODES, TASK_CODES, WORKFLOW_SYSTEMS } from '../fhir/workflow-codes.ts'
import type { Caller } from '../security/access-token.ts'
import { readResources, type StoredVersion } from '../storage/resources.ts'
import { countMatches, searchPage } from '../storage/search.ts'
import type { Tx } from '../storage/transaction.ts'
import type { Context } from './context.ts'
import { noteShown } from './noted.ts'
import { readEntry } from './referral-record.ts'
import { planOf } from './search-plan.ts'
import { searchSetOf } from './search-set.ts'
import { forStaff } from './staff-only.ts'
import { unitOfWork } from './unit-of-work.ts'

const NEEDS = [
  { type: 'Task', letter: 's' },
  { type: 'ServiceRequest', letter: 'r' },
  { type: 'Patient', letter: 'r' },
  { type: 'Observation', letter: 'r' },
] as const

/** The worklist: what waits for the clinic, the most urgent first, of these what is due first. */
const WORKLIST: readonly (readonly [string, string])[] = [
  ['code', `${TASK_CODES.referral.system}|${TASK_CODES.referral.code}`],
  [
    'business-status',
    AWAITS_CLINIC.map(
      (state) => `${WORKFLOW_SYSTEMS.businessStatus}|${BUSINESS_STATUS_CODES[state].code}`,
    ).join(','),
  ],
  ['_sort', '-urgency,due'],
  ['_count', '1'],
]

/** Findings that say why it is next. */
const REASONS = [FINDING_CODES.urgency, FINDING_CODES.suitability]

/**
 * Who is next: the first referral of the worklist with its request, its patient and why.
 *
 * @returns a searchset Bundle as JSON; its total says how many wait
 */
export function nextReferral(context: Context, caller: Caller): Promise<string> {
  if (caller.partnerId !== undefined)
    throw forStaff(
      'The worklist is the clinic’s own.',
      'Who is next is for the staff of the clinic. Where a partner’s referrals stand, Task?code=orthotic-referral says.',
    )
  const { query } = planOf(context, caller, {
    type: 'Task',
    parameters: WORKLIST,
    handling: 'strict',
  })
  return unitOfWork(context, caller, NEEDS, async (tx) => {
    const { found } = await searchPage(tx, caller, query)
    const total = await countMatches(tx, caller, query)
    const included = await companyOf(tx, context, caller, found)
    noteShown(caller, [...found, ...included])
    const { baseUrl } = context
    const self = `${baseUrl}/Task/$next`
    return searchSetOf({ baseUrl, self, next: undefined, total, found, included, query })
  })
}

async function companyOf(
  tx: Tx,
  { baseUrl }: Context,
  { clinicId }: Caller,
  found: readonly StoredVersion[],
): Promise<StoredVersion[]> {
  const named = found.map(readEntry).flatMap(({ resource }): Target[] => {
    if (!isReferralTask(resource)) return []
    const results = (resource.output ?? []).map(({ valueReference }) => valueReference?.reference)
    return [resource.focus?.reference, resource.for?.reference, ...results].flatMap(
      (reference) => ownTarget(reference, baseUrl) ?? [],
    )
  })
  const kept = await readResources(tx, clinicId, named)
  return kept.filter((one) => !one.deleted && isTold(one))
}

function isTold(stored: StoredVersion): boolean {
  if (stored.type !== 'Observation') return ['ServiceRequest', 'Patient'].includes(stored.type)
  const { resource } = readEntry(stored)
  return (
    resource.resourceType === 'Observation' && REASONS.some((code) => hasCode(resource.code, code))
  )
}
