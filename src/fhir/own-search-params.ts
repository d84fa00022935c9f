import { CANONICAL, SYSTEMS } from './codes.ts'
import type { SearchKind } from './r4/search-line.ts'
import type { SearchParam } from './search-params.ts'
import { WORKFLOW_EXTENSIONS } from './workflow-codes.ts'

/** A search parameter that R4 does not have. */
export interface OwnParam {
  readonly id: string
  readonly base: 'Task'
  readonly code: string
  readonly kind: SearchKind
  readonly description: string
  /** FHIRPath, as the definition is published; none of what is not in the resource. */
  readonly expression?: string
  /** Where the index reads it, and what stands there. */
  readonly path: string
  readonly type: string
}

/** No element: the index is told which partner's compartment a resource is in. */
export const PARTNER_PLACE = 'partner'

export const OWN_PARAMS: readonly OwnParam[] = [
  {
    id: 'Task-urgency',
    base: 'Task',
    code: 'urgency',
    kind: 'number',
    description: 'How urgent the referral is, 0 to 100; the worklist is sorted by it.',
    expression: `Task.extension.where(url = '${WORKFLOW_EXTENSIONS.urgencyScore}').value`,
    path: `extension[url=${WORKFLOW_EXTENSIONS.urgencyScore}].valueDecimal`,
    type: 'decimal',
  },
  {
    id: 'Task-due',
    base: 'Task',
    code: 'due',
    kind: 'date',
    description: 'By when it is to be done: the end of the period of the restriction.',
    expression: 'Task.restriction.period.end',
    path: 'restriction.period.end',
    type: 'dateTime',
  },
  {
    id: 'Task-reason',
    base: 'Task',
    code: 'reason',
    kind: 'token',
    description: 'Why it is there; of a reminder, what has not happened in time.',
    expression: 'Task.reasonCode',
    path: 'reasonCode',
    type: 'CodeableConcept',
  },
  {
    id: 'Task-partner',
    base: 'Task',
    code: 'partner',
    kind: 'token',
    description: `The partner that sent the referral, or that the Task is addressed to: the id by which the clinic knows it, of the system ${SYSTEMS.partner}. Whose it is stands in no element. A partner finds its own alone.`,
    path: PARTNER_PLACE,
    type: 'Identifier',
  },
]

/** Our own parameters of a type, beside those of R4. */
export const ownParamsOf = (of: string): readonly SearchParam[] =>
  OWN_PARAMS.filter(({ base }) => base === of).map(({ id, code, kind, path, type }) => ({
    code,
    kind,
    definition: `${CANONICAL}/SearchParameter/${id}`,
    atoms: [{ path, type, targets: [], many: false }],
    targets: [],
    anchors: [],
    parts: [],
  }))
