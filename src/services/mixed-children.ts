import { AppError, type Fault } from '../errors.ts'
import { ownTarget, type Target } from '../fhir/literal-reference.ts'
import { referencesIn } from '../fhir/reference-map.ts'
import type { Caller } from '../security/access-token.ts'
import { readResources } from '../storage/resources.ts'
import type { Tx } from '../storage/transaction.ts'
import type { Context } from './context.ts'
import type { Change } from './intake-triage.ts'

/**
 * What is found, asked, planned and done is of one child. People, coverage, consent, messages, lists and
 * appointments may be of several: a guardian of twins is one person.
 */
const OF_ONE_CHILD: ReadonlySet<string> = new Set([
  'CarePlan',
  'ClinicalImpression',
  'Composition',
  'Condition',
  'DeviceRequest',
  'DeviceUseStatement',
  'DocumentReference',
  'Encounter',
  'Goal',
  'Observation',
  'Procedure',
  'QuestionnaireResponse',
  'RiskAssessment',
  'ServiceRequest',
  'Task',
])

interface Told {
  readonly expression: string
  /** What is referred to. */
  readonly target: Target
  /** Of what refers. */
  readonly child: string
}

/**
 * Refuses what tells of one child by what is another's: a mistaken chart, which the rules cannot see. What stood
 * there before stays.
 */
export async function refuseMixedChildren(
  tx: Tx,
  { baseUrl }: Context,
  { clinicId }: Caller,
  changes: readonly Change[],
): Promise<void> {
  const told = changes.flatMap((change) => toldBy(change, baseUrl))
  const children = new Map(
    changes.map(({ written: { stored } }) => [placeOf(stored), stored.search.patientId]),
  )
  const kept = told.map(({ target }) => target).filter((target) => !children.has(placeOf(target)))
  if (kept.length > 0)
    for (const stored of await readResources(tx, clinicId, kept))
      children.set(placeOf(stored), stored.patientId)
  const faults = told.flatMap(({ expression, target, child }): Fault[] => {
    const other = children.get(placeOf(target))
    return other === undefined || other === child ? [] : [mixed(expression)]
  })
  if (faults.length > 0)
    throw new AppError('invalid-resource', 'The resources are not about one child.', faults)
}

function toldBy({ written, before, resourceAt }: Change, baseUrl: string): Told[] {
  const { stored, resource } = written
  const child = stored.search.patientId
  if (resource === undefined || child === undefined || !OF_ONE_CHILD.has(stored.type)) return []
  const known = new Set(
    before === undefined
      ? []
      : referencesIn(before.resource, resourceAt).map(({ reference }) => reference),
  )
  return referencesIn(resource, resourceAt).flatMap(({ expression, reference }) => {
    const target = ownTarget(reference, baseUrl)
    return target === undefined || !OF_ONE_CHILD.has(target.type) || known.has(reference)
      ? []
      : [{ expression, target, child }]
  })
}

const placeOf = ({ type, id }: Target): string => `${type}/${id}`

const mixed = (expression: string): Fault => ({
  severity: 'error',
  code: 'business-rule',
  expression,
  rule: 'one-child',
  text: 'This is about another child than the resource that refers to it. Refer to what is about the same child.',
})
