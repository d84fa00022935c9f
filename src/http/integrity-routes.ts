import type { FastifyPluginAsyncZod } from 'fastify-type-provider-zod'
import { proveInclusion, verifyAudit } from '../services/audit-integrity.ts'
import type { Context } from '../services/context.ts'
import { fhirJson } from './fhir-answer.ts'
import { outcomes, resourceAnswer, SECURED, Target } from './schemas.ts'

/** Whether the log can be believed. For the clinic's staff. Paths are relative to the FHIR base. */
export const integrityRoutes: FastifyPluginAsyncZod<{ context: Context }> = async (
  app,
  { context },
) => {
  app.route({
    method: ['GET', 'POST'],
    url: '/AuditEvent/$verify',
    // HEAD would walk the whole log and send nothing.
    exposeHeadRoute: false,
    schema: {
      ...SECURED,
      summary: 'Verify the audit log',
      description:
        'Walks every chain of the clinic’s log and every checkpoint, and says whether all is as it was written; if not, which record is the first that was changed, deleted or added.',
      response: { 200: resourceAnswer('Parameters'), ...outcomes(404) },
    },
    handler: async (request, reply) =>
      fhirJson(request, reply).send(JSON.stringify(await verifyAudit(context, request.caller))),
  })

  app.route({
    method: ['GET', 'POST'],
    url: '/AuditEvent/:id/$inclusion',
    exposeHeadRoute: false,
    schema: {
      ...SECURED,
      params: Target.pick({ id: true }),
      summary: 'Prove that an event is in a signed checkpoint',
      description:
        'The record of the event, its path in the Merkle tree of the checkpoint (RFC 9162) and the signed checkpoint with the root.',
      response: { 200: resourceAnswer('Parameters'), ...outcomes(400, 404, 409) },
    },
    handler: async (request, reply) =>
      fhirJson(request, reply).send(
        JSON.stringify(await proveInclusion(context, request.caller, request.params.id)),
      ),
  })
}
