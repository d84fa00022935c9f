import type { FastifyRequest } from 'fastify'
import type { CallFacts } from '../security/call.ts'

type Interaction = Pick<CallFacts, 'interaction' | 'action'>

/** Codes of http://hl7.org/fhir/restful-interaction by the name of a route. */
const BY_ROUTE: Readonly<Record<string, Interaction>> = {
  read: { interaction: 'read', action: 'R' },
  readBinary: { interaction: 'read', action: 'R' },
  vread: { interaction: 'vread', action: 'R' },
  historyOfInstance: { interaction: 'history-instance', action: 'R' },
  historyOfType: { interaction: 'history-type', action: 'R' },
  historyOfSystem: { interaction: 'history-system', action: 'R' },
  search: { interaction: 'search', action: 'E' },
  searchByForm: { interaction: 'search', action: 'E' },
  searchSystem: { interaction: 'search', action: 'E' },
  searchSystemByForm: { interaction: 'search', action: 'E' },
  searchCompartment: { interaction: 'search', action: 'E' },
  searchCompartmentByForm: { interaction: 'search', action: 'E' },
  create: { interaction: 'create', action: 'C' },
  createBinary: { interaction: 'create', action: 'C' },
  update: { interaction: 'update', action: 'U' },
  updateBinary: { interaction: 'update', action: 'U' },
  conditionalUpdate: { interaction: 'update', action: 'U' },
  patch: { interaction: 'patch', action: 'U' },
  conditionalPatch: { interaction: 'patch', action: 'U' },
  delete: { interaction: 'delete', action: 'D' },
  conditionalDelete: { interaction: 'delete', action: 'D' },
  registerClient: { interaction: 'create', action: 'C' },
  readClient: { interaction: 'read', action: 'R' },
  listClients: { interaction: 'search', action: 'E' },
  revokeClient: { interaction: 'delete', action: 'D' },
  countAdvice: { interaction: 'search', action: 'E' },
  listDeadLetters: { interaction: 'search', action: 'E' },
  retryDeadLetter: { interaction: 'update', action: 'U' },
  discardDeadLetter: { interaction: 'update', action: 'U' },
  listPartners: { interaction: 'search', action: 'E' },
  changeRegime: { interaction: 'update', action: 'U' },
  cdsPatientView: { interaction: '$patient-view', action: 'E' },
  cdsOrderSign: { interaction: '$order-sign', action: 'E' },
  cdsViewFeedback: { interaction: '$cds-feedback', action: 'C' },
  cdsSignFeedback: { interaction: '$cds-feedback', action: 'C' },
  transaction: { interaction: 'transaction', action: 'E' },
}

/** What a request asks for: an interaction of R4, or an operation by its name. */
export function interactionOf({ routeOptions, method }: FastifyRequest): Interaction {
  const named = BY_ROUTE[routeOptions.schema?.operationId ?? '']
  if (named !== undefined) return named
  const operation = /\$[a-z-]+/.exec(routeOptions.url ?? '')?.[0]
  return { interaction: operation ?? method, action: 'E' }
}
