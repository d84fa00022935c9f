import type { FastifyRequest } from 'fastify'
import type { FastifyPluginAsyncZod } from 'fastify-type-provider-zod'
import { EVERYTHING_PARAMETERS } from '../fhir/everything-parameters.ts'
import type { Context } from '../services/context.ts'
import { everything } from '../services/everything.ts'
import { askedBy } from './described-operations.ts'
import { fhirJson } from './fhir-answer.ts'
import { askedPairs } from './operation-request.ts'
import { outcomes, resourceAnswer, SECURED, Target } from './schemas.ts'

/** The operation $everything of a Patient. Paths are relative to the FHIR base. */
export const everythingRoutes: FastifyPluginAsyncZod<{ context: Context }> = async (
  app,
  { context },
) => {
  for (const patient of ['/Patient/:id', '/Patient'])
    app.route({
      method: ['GET', 'POST'],
      url: `${patient}/$everything`,
      exposeHeadRoute: false,
      schema: {
        ...SECURED,
        described: askedBy(EVERYTHING_PARAMETERS),
        ...(patient === '/Patient' ? {} : { params: PatientId }),
        summary: `The whole record of ${patient === '/Patient' ? 'every child in sight' : 'a child'}`,
        description:
          'The Patient, its compartment with its Tasks, what those refer to, and their Provenance.',
        response: { 200: resourceAnswer('Bundle of type searchset'), ...outcomes(400, 404, 410) },
      },
      handler: async (request, reply) => {
        const found = await everything(context, request.caller, {
          patientId: idIn(request),
          parameters: askedPairs(request),
        })
        return fhirJson(request, reply).send(found)
      },
    })
}

const PatientId = Target.pick({ id: true })

/** None at the level of the type. */
function idIn({ params }: FastifyRequest): string | undefined {
  return PatientId.safeParse(params).data?.id
}
