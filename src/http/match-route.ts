import type { FastifyRequest } from 'fastify'
import type { FastifyPluginAsyncZod } from 'fastify-type-provider-zod'
import { z } from 'zod'
import { askedWrongly } from '../errors.ts'
import {
  patientMatchParameters,
  type PatientMatchParameters,
} from '../fhir/patient-match-parameters.ts'
import type { Context } from '../services/context.ts'
import { matchPatient } from '../services/match.ts'
import { fhirJson } from './fhir-answer.ts'
import { fhirBody, queryPairs } from './fhir-body.ts'
import { outcomes, resourceAnswer, SECURED } from './schemas.ts'

const Asked = z.object({
  onlyCertainMatches: z.string().optional().meta({
    description: 'true for the one Patient that matches with certainty, or none',
  }),
  count: z.string().optional().meta({ description: 'How many matches at most' }),
})

/** The operation $match of Patient. Paths are relative to the FHIR base. */
export const matchRoute: FastifyPluginAsyncZod<{ context: Context }> = async (app, { context }) => {
  app.route({
    method: 'POST',
    url: '/Patient/$match',
    schema: {
      ...SECURED,
      querystring: Asked,
      body: z.unknown().meta({ description: 'Parameters with the Patient, or the Patient' }),
      summary: 'Which Patients of the clinic may be this child',
      description:
        'For the staff of the clinic, who see the copies of all partners. Best first, each with search.score from 0 to 1 and its match-grade. Parameters: resource, onlyCertainMatches, count. Nothing is stored, linked or merged.',
      response: { 200: resourceAnswer('Bundle of type searchset'), ...outcomes(400, 422) },
    },
    handler: async (request, reply) => {
      const answer = await matchPatient(context, request.caller, () => askedIn(request))
      return fhirJson(request, reply).send(answer)
    },
  })
}

function askedIn(request: FastifyRequest): PatientMatchParameters {
  const reading = patientMatchParameters(queryPairs(request), fhirBody(request).value)
  if (reading.ok) return reading.asked
  throw askedWrongly(reading.faults)
}
