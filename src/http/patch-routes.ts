import type { FastifyPluginAsyncZod } from 'fastify-type-provider-zod'
import { z } from 'zod'
import { AppError } from '../errors.ts'
import type { PatchOf } from '../fhir/operations.ts'
import { fhirPathPatchOf, jsonPatchOf } from '../fhir/patches.ts'
import type { Context } from '../services/context.ts'
import { patch } from '../services/single-writes.ts'
import type { FastifyRequest } from 'fastify'
import { PATCHED_HEADERS } from './described-answers.ts'
import { IF_MATCH, RETURNING } from './described-headers.ts'
import { CONDITION } from './described-searches.ts'
import { fhirBody, patchBody } from './fhir-body.ts'
import { sendWritten } from './fhir-answer.ts'
import { PROVENANCE, provenanceOf } from './provenance.ts'
import { outcomes, resourceAnswer, SECURED, Target, Type } from './schemas.ts'
import { meantIn } from './write-routes.ts'

/** Patch, by id and conditional. Paths are relative to the FHIR base. */
export const patchRoutes: FastifyPluginAsyncZod<{ context: Context }> = async (
  app,
  { context },
) => {
  for (const url of ['/:type/:id', '/:type'] as const)
    app.route({
      method: 'PATCH',
      url,
      schema: {
        ...SECURED,
        consumes: ['application/json-patch+json', 'application/fhir+json'],
        described: {
          query: url === '/:type' ? CONDITION : [],
          headers: [IF_MATCH, RETURNING],
          answers: PATCHED_HEADERS,
        },
        operationId: url === '/:type' ? 'conditionalPatch' : 'patch',
        summary: 'Change parts of a resource',
        description:
          'A JSON Patch, or Parameters as a FHIRPath Patch. The result is checked like an update; all of it or nothing. A generated text that the patch leaves behind is dropped.',
        params: url === '/:type' ? Type : Target,
        headers: z.object({ 'if-match': z.string().max(200).optional(), ...PROVENANCE }),
        body: z.unknown().meta({ description: 'The patch' }),
        response: {
          200: resourceAnswer('The new version'),
          ...outcomes(400, 404, 405, 410, 412, 415, 422),
        },
      },
      handler: async (request, reply) => {
        const done = await patch(context, request.caller, {
          type: request.params.type,
          patchOf: () => patchIn(request),
          provenance: provenanceOf(request),
          meant: meantIn(request),
          ifMatch: request.headers['if-match'],
        })
        return sendWritten(request, reply, done)
      },
    })
}

function patchIn(request: FastifyRequest): PatchOf {
  const type = request.headers['content-type'] ?? ''
  if (/^application\/json-patch\+json\b/i.test(type)) return jsonPatchOf(patchBody(request))
  if (/^application\/fhir\+json\b/i.test(type)) return fhirPathPatchOf(fhirBody(request).value)
  throw new AppError(
    'unsupported-media-type',
    'A patch is application/json-patch+json, or Parameters in application/fhir+json.',
  )
}
