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
const idIn = (types: string, wanted: string) =>
  z.string(wanted).regex(new RegExp(`^${types}${id}$`), wanted)
const Context = z.looseObject(
  {
    userId: idIn(
      '(?:Practitioner|PractitionerRole|Patient|RelatedPerson)/',
      'A reference is needed: Practitioner, PractitionerRole, Patient or RelatedPerson, a slash and the id.',
    ),
    patientId: idIn('', 'The id of the Patient is needed, without its type.'),
    encounterId: idIn('', 'The id of the Encounter, without its type, or nothing.').optional(),
    draftOrders: z
      .looseObject(
        { resourceType: z.literal('Bundle', 'A Bundle is needed.') },
        'A Bundle is needed.',
      )
      .optional(),
  },
  'The context of the hook is needed: userId, patientId and what else the hook has.',
)
/** What a call of CDS Hooks 2.0 holds, as far as it is read. */
export const CdsCallSent = z.looseObject(
  {
    hook: z.string('The name of the hook is needed.'),
    hookInstance: z.guid('A UUID of this call is needed.'),
    fhirServer: z.string().min(1, 'The base URL of a FHIR server, or nothing.').optional(),
    fhirAuthorization: z
      .looseObject({ access_token: z.string('A token is needed.').min(1, 'A token is needed.') })
      .optional(),
    context: Context,
    prefetch: z
      .record(z.string(), z.unknown(), 'An object of the prefetch keys, or nothing.')
      .optional(),
  },
  'A JSON object is needed: hook, hookInstance, context and prefetch.',
)

export const cdsFaults = ({ issues }: z.ZodError): Fault[] =>
  issues.map(({ path, message }) => callFault(path.join('.'), message))

export const callFault = (expression: string, text: string): Fault => ({
  severity: 'error',
  code: 'invalid',
  expression,
  rule: 'cds-request',
  text,
})

/** Throws every fault of a call at once. */
export function readCdsCall(hook: CdsHook, body: unknown): CdsCall {
  const { success, data, error } = CdsCallSent.safeParse(body)
  if (!success) throw malformed(cdsFaults(error))
  const { context, hookInstance, fhirServer, fhirAuthorization, prefetch = {} } = data
  const faults = [
    ...(data.hook === hook ? [] : [callFault('hook', `This service is for ${hook}.`)]),
    ...(fhirAuthorization !== undefined && fhirServer === undefined
      ? [callFault('fhirServer', 'Where there is fhirAuthorization there is fhirServer.')]
      : []),
    ...(hook === 'order-sign' && context.draftOrders === undefined
      ? [callFault('context.draftOrders', 'order-sign has a Bundle of draft orders.')]
      : []),
  ]
  if (faults.length > 0) throw malformed(faults)
  const { userId, patientId, draftOrders } = context
  return { hookInstance, userId, patientId, prefetch, draftOrders }
}
