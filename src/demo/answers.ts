import { z } from 'zod'
import { FINDING_CODES } from '../fhir/finding-codes.ts'
import type { FhirClient } from './client.ts'

// The elements of the answers that the demo reads, as a partner's system would look at them.

const Concept = z.object({
  coding: z.array(z.object({ code: z.string(), display: z.string() })).default([]),
  text: z.string().optional(),
})
const Quantity = z.object({ value: z.number() })
const Note = z.array(z.object({ text: z.string() })).default([])
const Value = z.object({
  code: Concept,
  valueQuantity: Quantity.optional(),
  valueRange: z.object({ low: Quantity.optional(), high: Quantity.optional() }).optional(),
  valueCodeableConcept: Concept.optional(),
  valueString: z.string().optional(),
  valueInteger: z.number().optional(),
  valueDateTime: z.string().optional(),
  valuePeriod: z.object({ start: z.string(), end: z.string().optional() }).optional(),
})
const Observation = Value.extend({
  bodySite: Concept.optional(),
  note: Note,
  component: z.array(Value).default([]),
})
const Risk = z.object({
  prediction: z.array(z.object({ outcome: Concept, probabilityDecimal: z.number() })).default([]),
  note: Note,
})
const Task = z.object({
  status: z.string(),
  businessStatus: Concept,
  priority: z.string(),
  restriction: z.object({ period: z.object({ end: z.string() }) }),
})
const Patient = z.object({
  name: z.array(z.object({ text: z.string() })).min(1),
  birthDate: z.string(),
})
const Bundle = z.object({
  entry: z
    .array(
      z.object({
        resource: z.looseObject({ resourceType: z.string() }).optional(),
        response: z.object({ status: z.string(), location: z.string() }).optional(),
      }),
    )
    .default([]),
})

export type Concept = z.output<typeof Concept>
export type Value = z.output<typeof Value>
export type Observation = z.output<typeof Observation>

/** What the service answers about one child. */
export interface ChildAnswers {
  readonly patient: z.output<typeof Patient>
  readonly task: z.output<typeof Task>
  readonly observations: readonly Observation[]
  /** None when the pace cannot be estimated. */
  readonly risk: z.output<typeof Risk> | undefined
}

/** Where the parts of a referral are kept, and how many came new. */
export interface Kept {
  readonly patientId: string
  readonly referralId: string
  readonly taskId: string
  readonly created: number
  readonly found: number
}

const WANTED = Object.values(FINDING_CODES)
  .map(({ system, code }) => `${system}|${code}`)
  .join(',')

export function keptOf(response: unknown): Kept {
  const answers = Bundle.parse(response).entry.flatMap((entry) => entry.response ?? [])
  const idOf = (type: string): string => {
    const pattern = new RegExp(`/${type}/([^/]+)/_history/`)
    const id = answers.map(({ location }) => pattern.exec(location)?.[1]).find(Boolean)
    if (id === undefined) throw new Error(`The answer to the referral names no ${type}.`)
    return id
  }
  const created = answers.filter(({ status }) => status.startsWith('201')).length
  return {
    patientId: idOf('Patient'),
    referralId: idOf('ServiceRequest'),
    taskId: idOf('Task'),
    created,
    found: answers.length - created,
  }
}

export async function readChild(
  { get }: FhirClient,
  { patientId, taskId }: Kept,
): Promise<ChildAnswers> {
  const child = `patient=Patient/${patientId}`
  const observations = await get(
    `/Observation?${child}&code=${encodeURIComponent(WANTED)}&_count=100`,
  )
  const risks = await get(`/RiskAssessment?${child}`)
  const [risk] = resourcesOf(risks, 'RiskAssessment')
  return {
    patient: Patient.parse(await get(`/Patient/${patientId}`)),
    task: Task.parse(await get(`/Task/${taskId}`)),
    observations: resourcesOf(observations, 'Observation').map((one) => Observation.parse(one)),
    risk: risk === undefined ? undefined : Risk.parse(risk),
  }
}

/** The resources of one type in a Bundle, in its order. */
export const resourcesOf = (bundle: unknown, type: string): unknown[] =>
  Bundle.parse(bundle).entry.flatMap(({ resource }) =>
    resource?.resourceType === type ? [resource] : [],
  )

interface Coded {
  readonly code: string
}

export const isCoded = (concept: Concept | undefined, { code }: Coded): boolean =>
  concept?.coding.some((coding) => coding.code === code) ?? false

/** The finding of a code, of one foot when a side is given. */
export const findingOf = (
  { observations }: ChildAnswers,
  code: Coded,
  side?: Coded,
): Observation | undefined =>
  observations.find(
    (one) => isCoded(one.code, code) && (side === undefined || isCoded(one.bodySite, side)),
  )

export const componentOf = (observation: Observation | undefined, code: Coded): Value | undefined =>
  observation?.component.find((one) => isCoded(one.code, code))

export const displayOf = (concept: Concept | undefined): string =>
  concept?.coding[0]?.display ?? 'not known'
