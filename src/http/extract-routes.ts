import type { FastifyRequest } from 'fastify'
import type { FastifyPluginAsyncZod } from 'fastify-type-provider-zod'
import { z } from 'zod'
import { askedWrongly } from '../errors.ts'
import { extractParameters } from '../fhir/extract-parameters.ts'
import type { Context } from '../services/context.ts'
import { extractKept, extractSent } from '../services/extract-answers.ts'
import { fhirJson } from './fhir-answer.ts'
import { fhirBody, queryPairs, rawBody } from './fhir-body.ts'
import { outcomes, resourceAnswer, SECURED, Target } from './schemas.ts'

const EXTRACTION = {
  ...SECURED,
  description:
    'A transaction Bundle of Observations, by the operation of Structured Data Capture. Nothing is stored.',
}
const BUNDLE = resourceAnswer('Bundle of type transaction')

/** What answers to a form become. Paths are relative to the FHIR base. */
export const extractRoutes: FastifyPluginAsyncZod<{ context: Context }> = async (
  app,
  { context },
) => {
  app.route({
    method: 'POST',
    url: '/QuestionnaireResponse/$extract',
    schema: {
      ...EXTRACTION,
      operationId: 'extractSent',
      summary: 'What answers to a form would become',
      body: z.unknown().meta({ description: 'The QuestionnaireResponse, or Parameters with it' }),
      response: { 200: BUNDLE, ...outcomes(400, 404, 422) },
    },
    handler: async (request, reply) => {
      const response = responseOf(request, false)
      return fhirJson(request, reply).send(await extractSent(context, request.caller, response))
    },
  })

  app.route({
    method: ['GET', 'POST'],
    url: '/QuestionnaireResponse/:id/$extract',
    exposeHeadRoute: false,
    schema: {
      ...EXTRACTION,
      params: Target.pick({ id: true }),
      summary: 'What answers that are kept have become',
      response: { 200: BUNDLE, ...outcomes(400, 404, 410, 422) },
    },
    handler: async (request, reply) => {
      responseOf(request, true)
      const { id } = request.params
      return fhirJson(request, reply).send(await extractKept(context, request.caller, id))
    },
  })
}

function responseOf(request: FastifyRequest, isKept: boolean): unknown {
  const body = rawBody(request).length === 0 ? undefined : fhirBody(request).value
  const reading = extractParameters(queryPairs(request), body, isKept)
  if (reading.ok) return reading.response
  throw askedWrongly(reading.faults)
}
