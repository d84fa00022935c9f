import { z } from 'zod'

// What the pages read of the API's answers; all else in them is left aside.

const Coding = z.object({
  system: z.string().optional(),
  code: z.string().optional(),
  display: z.string().optional(),
})
const Concept = z.object({ coding: z.array(Coding).optional(), text: z.string().optional() })
const Reference = z.object({ reference: z.string().optional(), display: z.string().optional() })
export const Quantity = z.object({ value: z.number().optional(), unit: z.string().optional() })
const Note = z.object({ text: z.string() })
const Extension = z.object({ url: z.string(), valueDecimal: z.number().optional() })

export const Task = z.object({
  resourceType: z.literal('Task'),
  id: z.string(),
  meta: z
    .object({ versionId: z.string().optional(), lastUpdated: z.string().optional() })
    .optional(),
  code: Concept.optional(),
  status: z.string(),
  businessStatus: Concept.optional(),
  statusReason: Concept.optional(),
  reasonCode: Concept.optional(),
  description: z.string().optional(),
  priority: z.string().optional(),
  focus: Reference.optional(),
  for: Reference.optional(),
  requester: Reference.optional(),
  owner: Reference.optional(),
  authoredOn: z.string().optional(),
  restriction: z.object({ period: z.object({ end: z.string().optional() }).optional() }).optional(),
  extension: z.array(Extension).optional(),
  output: z.array(z.object({ type: Concept, valueReference: Reference.optional() })).optional(),
})
export type Task = z.infer<typeof Task>

export const Patient = z.object({
  resourceType: z.literal('Patient'),
  id: z.string(),
  name: z
    .array(
      z.object({
        text: z.string().optional(),
        family: z.string().optional(),
        given: z.array(z.string()).optional(),
      }),
    )
    .optional(),
  birthDate: z.string().optional(),
  gender: z.string().optional(),
  identifier: z.array(z.object({ value: z.string().optional() })).optional(),
})
export type Patient = z.infer<typeof Patient>

const Value = {
  valueQuantity: Quantity.optional(),
  valueCodeableConcept: Concept.optional(),
  valueString: z.string().optional(),
  valueInteger: z.number().optional(),
  valueBoolean: z.boolean().optional(),
  valueRange: z.object({ low: Quantity.optional(), high: Quantity.optional() }).optional(),
  valueDateTime: z.string().optional(),
  valuePeriod: z.object({ start: z.string().optional(), end: z.string().optional() }).optional(),
  dataAbsentReason: Concept.optional(),
}
export const Observation = z.object({
  resourceType: z.literal('Observation'),
  id: z.string(),
  code: Concept,
  effectiveDateTime: z.string().optional(),
  bodySite: Concept.optional(),
  ...Value,
  note: z.array(Note).optional(),
  component: z.array(z.object({ code: Concept, ...Value })).optional(),
})
export type Observation = z.infer<typeof Observation>
export type Valued = Pick<Observation, keyof typeof Value>

export const CarePlan = z.object({
  resourceType: z.literal('CarePlan'),
  text: z.object({ div: z.string() }).optional(),
})

export const AuditEvent = z.object({
  resourceType: z.literal('AuditEvent'),
  id: z.string(),
  recorded: z.string(),
  action: z.string().optional(),
  outcome: z.string().optional(),
  outcomeDesc: z.string().optional(),
  type: Coding,
  subtype: z.array(Coding).optional(),
  agent: z.array(z.object({ altId: z.string().optional(), requestor: z.boolean() })),
  entity: z.array(z.object({ what: Reference.optional() })).optional(),
})
export type AuditEvent = z.infer<typeof AuditEvent>

export const Outcome = z.object({
  resourceType: z.literal('OperationOutcome'),
  issue: z.array(z.object({ details: Concept.optional(), diagnostics: z.string().optional() })),
})

const Bundle = z.object({
  resourceType: z.literal('Bundle'),
  total: z.number().optional(),
  link: z.array(z.object({ relation: z.string(), url: z.string() })).optional(),
  entry: z
    .array(
      z.object({
        resource: z.unknown(),
        search: z.object({ mode: z.string().optional() }).optional(),
      }),
    )
    .optional(),
})

export interface Page {
  readonly resources: readonly unknown[]
  /** What was found, without what came along. */
  readonly matches: readonly unknown[]
  /** The address of the page after it. */
  readonly next: string | undefined
}

export const pageOf = (text: string): Page => pageIn(JSON.parse(text))

export function pageIn(bundle: unknown): Page {
  const { entry = [], link = [] } = Bundle.parse(bundle)
  return {
    resources: entry.map(({ resource }) => resource),
    matches: entry.filter(({ search }) => search?.mode === 'match').map(({ resource }) => resource),
    next: link.find(({ relation }) => relation === 'next')?.url,
  }
}

/** Those of one kind, in their order. */
export const those = <T>(kind: z.ZodType<T>, resources: readonly unknown[]): readonly T[] =>
  resources.flatMap((one) => {
    const { success, data } = kind.safeParse(one)
    return success ? [data] : []
  })

type Named = z.infer<typeof Concept>

/** What a concept is called. */
export const named = (concept: Named | undefined): string =>
  concept?.text ?? concept?.coding?.[0]?.display ?? concept?.coding?.[0]?.code ?? ''

/** What a concept is called by its codes, where its text says more than a name. */
export const titled = (concept: Named | undefined): string =>
  (concept?.coding ?? []).flatMap(({ display, code }) => display ?? code ?? []).join(': ') ||
  named(concept)

/** Its code in a code system; of the first, when none is named. */
export const codeIn = (concept: Named | undefined, system?: string): string | undefined =>
  concept?.coding?.find((one) => system === undefined || one.system === system)?.code

/** The id behind a reference to something of one type. */
export const idIn = (type: string, reference: string | undefined): string | undefined =>
  new RegExp(`^${type}/([A-Za-z0-9.-]{1,64})(?:/_history/.*)?$`).exec(reference ?? '')?.[1]

/** A name as it is said. */
export function nameOf({ name }: Patient): string {
  const [first] = name ?? []
  const parts = [...(first?.given ?? []), first?.family ?? ''].filter((part) => part !== '')
  return first?.text ?? (parts.join(' ') || 'No name')
}
