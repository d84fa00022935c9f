import { PICTURE_KINDS } from '../../pictures/picture.ts'
import type { OperationDefinitionParameter } from '../r4/types.ts'
import { FORM_PARAMETERS } from './parameters-form.ts'
import { DOCUMENT_PARAMETERS } from './parameters-documents.ts'

export interface Operation {
  readonly code: string
  readonly type:
    | 'Task'
    | 'ServiceRequest'
    | 'QuestionnaireResponse'
    | 'Library'
    | 'Patient'
    | 'AuditEvent'
    | 'Subscription'
  /** The official definition that ours narrows; the CapabilityStatement names that one. */
  readonly base?: string
  /** Of one resource, unless it is said to be of the type, or of both. */
  readonly level?: 'type' | 'type-and-instance'
  readonly title: string
  readonly description: string
  readonly affectsState: boolean
  readonly parameters: readonly string[]
  readonly answer: {
    readonly type: 'Binary' | 'Bundle' | 'DocumentReference' | 'Parameters'
    readonly documentation: string
  }
  /** What is answered beside it; the answer is then a Parameters resource. */
  readonly besides?: readonly OperationDefinitionParameter[]
}

/** The parameters that operations of ours take, by name. */
export const PARAMETERS: Readonly<Record<string, OperationDefinitionParameter>> = {
  asOf: {
    name: 'asOf',
    use: 'in',
    min: 0,
    max: '1',
    documentation: 'The day for which the answer holds; today when it is not given.',
    type: 'date',
  },
  ruleset: {
    name: 'ruleset',
    use: 'in',
    min: 0,
    max: '1',
    documentation: 'Another rule set than the one in force: its version, or id|version.',
    type: 'string',
  },
  chart: {
    name: 'chart',
    use: 'in',
    min: 0,
    max: '1',
    documentation: 'Another size chart than the one in force: id|version.',
    type: 'string',
  },
  language: {
    name: 'language',
    use: 'in',
    min: 0,
    max: '1',
    documentation: 'Of the sentences: en or es.',
    type: 'code',
  },
  knownAt: {
    name: 'knownAt',
    use: 'in',
    min: 0,
    max: '1',
    documentation: 'Record, rule set and chart as they were known at this instant.',
    type: 'instant',
  },
  kind: {
    name: 'kind',
    use: 'in',
    min: 1,
    max: '1',
    documentation: `Which picture: ${PICTURE_KINDS.join(', ')}.`,
    type: 'code',
  },
  id: {
    name: 'id',
    use: 'in',
    min: 0,
    max: '*',
    documentation: 'Of this subscription; of all when none is named.',
    type: 'id',
  },
  status: {
    name: 'status',
    use: 'in',
    min: 0,
    max: '*',
    documentation: 'In this state: requested, active, error or off.',
    type: 'code',
  },
  eventsSinceNumber: {
    name: 'eventsSinceNumber',
    use: 'in',
    min: 0,
    max: '1',
    documentation: 'The first event number; 1 when it is not given.',
    type: 'string',
  },
  eventsUntilNumber: {
    name: 'eventsUntilNumber',
    use: 'in',
    min: 0,
    max: '1',
    documentation: 'The last event number; the newest when it is not given.',
    type: 'string',
  },
  content: {
    name: 'content',
    use: 'in',
    min: 0,
    max: '1',
    documentation: 'empty, id-only or full-resource; as subscribed when it is not given.',
    type: 'code',
  },
  ...DOCUMENT_PARAMETERS,
  ...FORM_PARAMETERS,
  start: {
    name: 'start',
    use: 'in',
    min: 0,
    max: '1',
    documentation: 'From this day or instant on.',
    type: 'dateTime',
  },
  end: {
    name: 'end',
    use: 'in',
    min: 0,
    max: '1',
    documentation: 'To the end of this day or instant; now when it is not given.',
    type: 'dateTime',
  },
  calls: {
    name: 'calls',
    use: 'in',
    min: 0,
    max: '1',
    documentation: 'More calls than this a day are unusual.',
    type: 'integer',
  },
  children: {
    name: 'children',
    use: 'in',
    min: 0,
    max: '1',
    documentation: 'More children than this a day are unusual.',
    type: 'integer',
  },
  refused: {
    name: 'refused',
    use: 'in',
    min: 0,
    max: '1',
    documentation: 'More refused calls than this a day are unusual.',
    type: 'integer',
  },
  atNight: {
    name: 'atNight',
    use: 'in',
    min: 0,
    max: '1',
    documentation: 'More calls than this by night are unusual.',
    type: 'integer',
  },
  result: {
    name: 'result',
    use: 'in',
    min: 1,
    max: '1',
    documentation: 'no-finding or finding.',
    type: 'code',
  },
  event: {
    name: 'event',
    use: 'in',
    min: 0,
    max: '*',
    documentation: 'An event that was looked at.',
    type: 'Reference',
  },
}
