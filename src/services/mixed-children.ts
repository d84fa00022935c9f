import { AppError, type Fault } from '../errors.ts'
import { ownTarget } from '../fhir/literal-reference.ts'
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
  /** `Type/id` of what is referred to. */
  readonly place: string
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
    changes.map(({ written: { stored } }) => [
      `${stored.type}/${stored.id}`,
      stored.search.patientId,
    ]),
  )
  const kept = [...new Set(told.map(({ place }) => place))].filter((place) => !children.has(place))
  if (kept.length > 0)
    for (const { type, id, patientId } of await readResources(tx, clinicId, kept.map(keyOf)))
      children.set(`${type}/${id}`, patientId)
  const faults = told.flatMap(({ expression, place, child }): Fault[] => {
    const other = children.get(place)
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
      : [{ expression, place: `${target.type}/${target.id}`, child }]
  })
}

function keyOf(place: string): { readonly type: string; readonly id: string } {
  const [type = '', id = ''] = place.split('/')
  return { type, id }
}

const mixed = (expression: string): Fault => ({
  severity: 'error',
  code: 'business-rule',
  expression,
  rule: 'one-child',
  text: 'This is about another child than the resource that refers to it. Refer to what is about the same child.',
})
