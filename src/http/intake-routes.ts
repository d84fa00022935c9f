import type { FastifyRequest } from 'fastify'
import type { FastifyPluginAsyncZod } from 'fastify-type-provider-zod'
import { z } from 'zod'
import { acceptedLanguage } from '../fhir/accepted-language.ts'
import { applyPlan } from '../services/apply-plan.ts'
import type { Context } from '../services/context.ts'
import { populateIntake } from '../services/populate-intake.ts'
import { fhirJson } from './fhir-answer.ts'
import { askedPairs } from './operation-request.ts'
import { outcomes, resourceAnswer, SECURED, Target } from './schemas.ts'

const Id = Target.pick({ id: true })
const Subject = z.object({
  // Several are refused by their name, where they are read.
  subject: z
    .union([z.string(), z.array(z.string())])
    .optional()
    .meta({ description: 'Patient/[id], needed' }),
})

/** From what is known of a child to a referral. Paths are relative to the FHIR base. */
export const intakeRoutes: FastifyPluginAsyncZod<{ context: Context }> = async (
  app,
  { context },
) => {
  const languageOf = ({ headers }: FastifyRequest) =>
    acceptedLanguage(headers['accept-language'], context.language)

  app.route({
    method: ['GET', 'POST'],
    url: '/PlanDefinition/:id/$apply',
    exposeHeadRoute: false,
    schema: {
      ...SECURED,
      params: Id,
      querystring: Subject.extend({
        practitioner: z.string().optional().meta({ description: 'Practitioner/[id]' }),
      }),
      summary: 'A draft referral for a child, by the plan for referrals',
      description:
        'A CarePlan whose activity is a RequestGroup, with the draft ServiceRequest and Task inside. Nothing is stored. The language is that of Accept-Language.',
      response: { 200: resourceAnswer('CarePlan'), ...outcomes(400, 404, 422) },
    },
    handler: async (request, reply) => {
      const applied = await applyPlan(context, request.caller, {
        planId: request.params.id,
        parameters: askedPairs(request),
        language: languageOf(request),
      })
      return fhirJson(request, reply).send(applied)
    },
  })

  app.route({
    method: ['GET', 'POST'],
    url: '/Questionnaire/:id/$populate',
    exposeHeadRoute: false,
    schema: {
      ...SECURED,
      params: Id,
      querystring: Subject,
      summary: 'The intake of a child, with what its record knows already',
      description:
        'A QuestionnaireResponse of the form referral-intake; each answer names the version of the resource that it comes from. Nothing is stored.',
      response: { 200: resourceAnswer('QuestionnaireResponse'), ...outcomes(400, 404) },
    },
    handler: async (request, reply) => {
      const populated = await populateIntake(context, request.caller, {
        formId: request.params.id,
        parameters: askedPairs(request),
      })
      return fhirJson(request, reply).send(populated)
    },
  })
}
