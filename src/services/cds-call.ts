import { z } from 'zod'
import { type Prefetch, malformed } from '../fhir/cds-prefetch.ts'
import type { CdsHook } from '../fhir/cds-services.ts'
import type { Fault } from '../errors.ts'

/** A call of a hook, read. */
export interface CdsCall {
  readonly hookInstance: string
  readonly userId: string
  readonly patientId: string
  readonly prefetch: Prefetch
  /** The Bundle of `order-sign`. */
  readonly draftOrders: unknown
}

const id = '[A-Za-z0-9\\-.]{1,64}'
const Context = z.looseObject({
  userId: z
    .string()
    .regex(new RegExp(`^(?:Practitioner|PractitionerRole|Patient|RelatedPerson)/${id}$`)),
  patientId: z.string().regex(new RegExp(`^${id}$`)),
  encounterId: z
    .string()
    .regex(new RegExp(`^${id}$`))
    .optional(),
  draftOrders: z.looseObject({ resourceType: z.literal('Bundle') }).optional(),
})
const Call = z.looseObject({
  hook: z.string(),
  hookInstance: z.guid(),
  fhirServer: z.string().min(1).optional(),
  fhirAuthorization: z.looseObject({ access_token: z.string().min(1) }).optional(),
  context: Context,
  prefetch: z.record(z.string(), z.unknown()).optional(),
})

export const cdsFaults = ({ issues }: z.ZodError): Fault[] =>
  issues.map(({ path, message }) => fault(path.join('.'), message))

const fault = (expression: string, text: string): Fault => ({
  severity: 'error',
  code: 'invalid',
  expression,
  rule: 'cds-request',
  text,
})

/** Throws every fault of a call at once. */
export function readCdsCall(hook: CdsHook, body: unknown): CdsCall {
  const { success, data, error } = Call.safeParse(body)
  if (!success) throw malformed(cdsFaults(error))
  const { context, hookInstance, fhirServer, fhirAuthorization, prefetch = {} } = data
  const faults = [
    ...(data.hook === hook ? [] : [fault('hook', `This service is for ${hook}.`)]),
    ...(fhirAuthorization !== undefined && fhirServer === undefined
      ? [fault('fhirServer', 'Where there is fhirAuthorization there is fhirServer.')]
      : []),
    ...(hook === 'order-sign' && context.draftOrders === undefined
      ? [fault('context.draftOrders', 'order-sign has a Bundle of draft orders.')]
      : []),
  ]
  if (faults.length > 0) throw malformed(faults)
  const { userId, patientId, draftOrders } = context
  return { hookInstance, userId, patientId, prefetch, draftOrders }
}
