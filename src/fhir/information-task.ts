import type { CivilDate } from '../domain/calendar.ts'
import { say } from '../domain/messages/message.ts'
import { SIDE_CODES } from './codes.ts'
import { concept, forFamily, type Speaking } from './derived.ts'
import { canonicalOf, FACT_PROFILE, type InformationForm } from './information-form.ts'
import type { NeededObservation } from './needed-observations.ts'
import { linkOf } from './needed-observations.ts'
import type { Coding, Reference, Resource, Task, TaskInput } from './r4/types.ts'
import { hasCode } from './reading.ts'
import { TASK_CODES, TASK_DETAIL_CODES } from './workflow-codes.ts'
import { list, narrative, paragraph } from './xhtml.ts'

export const isInformationRequest = (resource: Resource): resource is Task =>
  resource.resourceType === 'Task' && hasCode(resource.code, TASK_CODES.informationRequest)

const ENDED: ReadonlySet<string> = new Set([
  'rejected',
  'cancelled',
  'failed',
  'completed',
  'entered-in-error',
])

export const isOpenRequest = (resource: Resource): resource is Task =>
  isInformationRequest(resource) && !ENDED.has(resource.status)

/** Whom a request for information goes to, and what it is about. */
export interface RequestPlace {
  readonly referral: string
  readonly patient: string
  /** The Task of the referral, where it has one. */
  readonly task: string | undefined
  readonly requester: Reference
  readonly owner: Reference
}

/** What a request for information asks. */
export interface RequestContent {
  readonly needed: readonly NeededObservation[]
  readonly form: InformationForm | undefined
  readonly priority: NonNullable<Task['priority']>
  readonly due: CivilDate
  /** ISO instant in UTC. */
  readonly now: string
}

/** A new request: every observation that would decide, each with its code and profile, and the form that asks. */
export function newRequest(
  place: RequestPlace,
  content: RequestContent,
  speaking: Speaking,
): Omit<Task, 'id'> {
  const { referral, patient, task, requester, owner } = place
  const { now, due, priority } = content
  return {
    resourceType: 'Task',
    language: speaking.speaker.language,
    basedOn: [{ reference: referral }],
    ...(task === undefined ? {} : { partOf: [{ reference: task }] }),
    status: 'requested',
    intent: 'order',
    priority,
    code: concept(TASK_CODES.informationRequest),
    focus: { reference: referral },
    for: { reference: patient },
    authoredOn: now,
    lastModified: now,
    requester,
    owner,
    restriction: { period: { end: due } },
    ...asking(content, speaking),
  }
}

/**
 * The request as it stands after a triage: what is still needed and what was sent. With nothing needed any
 * more it is completed.
 *
 * @param answers what was sent since it was made, `QuestionnaireResponse/1`
 */
export function requestAfterTriage(
  request: Task,
  content: RequestContent,
  { answers, ...speaking }: Speaking & { readonly answers: readonly string[] },
): Task {
  const { needed, now, priority } = content
  const sent = outputOf(request, answers)
  const next = { ...request, ...(sent.length === 0 ? {} : { output: sent }) }
  if (needed.length > 0)
    return { ...next, priority, ...asking(content, speaking), lastModified: now }
  return ended(next, 'completed', { now, ...speaking })
}

/** A request that is not open any more: nothing is missing, or nobody needs it. */
export function ended(
  request: Task,
  status: 'completed' | 'cancelled',
  { now, speaker }: Speaking & { readonly now: string },
): Task {
  const why =
    status === 'completed'
      ? say('information-request.complete')
      : say('information-request.abandoned')
  const text = speaker.therapist(why)
  return {
    ...request,
    status,
    statusReason: { text },
    text: narrative(paragraph(text)),
    lastModified: now,
  }
}

/** Do two versions of a request ask the same, and have they been sent the same? */
export const isSameRequest = (one: Task, other: Task): boolean => {
  const told = ({ status, input, output }: Task) => JSON.stringify([status, input, output])
  return told(one) === told(other)
}

/** The observations that a request asks for, by their names in a form. */
export const askedLinks = ({ input = [] }: Task): ReadonlySet<string> =>
  new Set(
    input.flatMap(({ valueDataRequirement }) => {
      const codes = valueDataRequirement?.codeFilter?.flatMap(({ code = [] }) => code) ?? []
      const side = (['left', 'right'] as const).find((one) =>
        hasCode({ coding: codes }, SIDE_CODES[one]),
      )
      const [code] = codes
      return code?.code === undefined
        ? []
        : [linkOf({ system: code.system ?? '', code: code.code, display: '' }, side)]
    }),
  )

function asking({ needed, form }: RequestContent, speaking: Speaking) {
  const { therapist } = speaking.speaker
  const open = say('information-request.open')
  const names = needed.map(({ code, because }) => `${code.display}: ${therapist(because)}`)
  return {
    text: narrative(paragraph(therapist(open)), list(names)),
    description: therapist(open),
    input: [
      ...needed.map((one) => neededInput(one, speaking)),
      ...(form === undefined
        ? []
        : [{ type: concept(TASK_DETAIL_CODES.questionnaire), valueCanonical: canonicalOf(form) }]),
    ],
  }
}

function neededInput({ code, side, because }: NeededObservation, speaking: Speaking): TaskInput {
  const filter = (path: string, { system, code: value, display }: Coding) => ({
    path,
    code: [
      { ...(system && { system }), ...(value && { code: value }), ...(display && { display }) },
    ],
  })
  return {
    extension: forFamily(speaking, because),
    type: concept(TASK_DETAIL_CODES.neededObservation, speaking.speaker.therapist(because)),
    valueDataRequirement: {
      type: 'Observation',
      profile: [FACT_PROFILE],
      codeFilter: [
        filter('code', code),
        ...(side === undefined ? [] : [filter('bodySite', SIDE_CODES[side])]),
      ],
    },
  }
}

/** What was sent before stays told. */
function outputOf(request: Task, answers: readonly string[]) {
  const before = request.output ?? []
  const told = new Set(before.map(({ valueReference }) => valueReference?.reference))
  return [
    ...before,
    ...answers
      .filter((reference) => !told.has(reference))
      .map((reference) => ({
        type: concept(TASK_DETAIL_CODES.answer),
        valueReference: { reference },
      })),
  ]
}
