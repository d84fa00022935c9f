import type { FastifyReply, FastifyRequest } from 'fastify'
import type { FastifyPluginAsyncZod } from 'fastify-type-provider-zod'
import { z } from 'zod'
import { acceptedLanguage } from '../fhir/accepted-language.ts'
import { APPLY_PARAMETERS } from '../fhir/about-patient-parameters.ts'
import { PLAN_PARAMETER, planSent } from '../fhir/plan-sent.ts'
import { POPULATE_DOCUMENTATION } from '../fhir/populate-context.ts'
import { FORM_PARAMETERS, POPULATE_PARAMETERS } from '../fhir/populate-parameters.ts'
import { applyPlan } from '../services/apply-plan.ts'
import type { Context } from '../services/context.ts'
import { populateIntake } from '../services/populate-intake.ts'
import { ACCEPT_LANGUAGE } from './described-headers.ts'
import { askedBy, parametersBody } from './described-operations.ts'
import { fhirJson } from './fhir-answer.ts'
import { fhirBody, rawBody } from './fhir-body.ts'
import { askedPairs } from './operation-request.ts'
import { outcomes, resourceAnswer, SECURED, Target } from './schemas.ts'

const Id = Target.pick({ id: true })
// Several are refused by their name, where they are read.
const Subject = z.object({ subject: z.union([z.string(), z.array(z.string())]).optional() })
const Applied = Subject.extend({ practitioner: z.string().optional() })
const Populated = Subject.extend({ local: z.string().optional() })

/** From what is known of a child to a referral. Paths are relative to the FHIR base. */
export const intakeRoutes: FastifyPluginAsyncZod<{ context: Context }> = async (
  app,
  { context },
) => {
  const applied = async (request: FastifyRequest, reply: FastifyReply, inAddress?: string) => {
    const plan = await applyPlan(context, request.caller, {
      planId: inAddress ?? planSent(fhirBody(request).value),
      parameters: askedPairs(request).filter(
        ([name]) => inAddress !== undefined || name !== PLAN_PARAMETER,
      ),
      language: acceptedLanguage(request.headers['accept-language'], context.language),
    })
    return fhirJson(request, reply).send(plan)
  }

  app.route({
    method: ['GET', 'POST'],
    url: '/PlanDefinition/:id/$apply',
    exposeHeadRoute: false,
    schema: {
      ...APPLIED,
      params: Id,
      described: { ...askedBy(APPLY_PARAMETERS), headers: [ACCEPT_LANGUAGE] },
      querystring: Applied,
      summary: 'A draft referral for a child, by the plan for referrals',
    },
    handler: (request, reply) => applied(request, reply, request.params.id),
  })
  app.route({
    method: 'POST',
    url: '/PlanDefinition/$apply',
    schema: {
      ...APPLIED,
      described: { body: parametersBody(true), headers: [ACCEPT_LANGUAGE] },
      summary: 'The same, with the plan sent as the parameter planDefinition',
    },
    handler: (request, reply) => applied(request, reply),
  })

  await app.register(populateRoutes, { context })
}

const APPLIED = {
  ...SECURED,
  description:
    'A CarePlan whose activity is a RequestGroup, with the draft ServiceRequest and Task inside. Nothing is stored.',
  response: { 200: resourceAnswer('CarePlan'), ...outcomes(400, 404, 422) },
}

const POPULATED = {
  ...SECURED,
  description: `${POPULATE_DOCUMENTATION} Nothing is stored.`,
  response: { 200: resourceAnswer('Parameters'), ...outcomes(400, 404) },
}

const populateRoutes: FastifyPluginAsyncZod<{ context: Context }> = async (app, { context }) => {
  const answered = async (request: FastifyRequest, reply: FastifyReply, formId?: string) => {
    const populated = await populateIntake(context, request.caller, {
      formId,
      pairs: askedPairs(request),
      body: rawBody(request).length === 0 ? undefined : fhirBody(request).value,
    })
    return fhirJson(request, reply).send(populated)
  }

  app.route({
    method: ['GET', 'POST'],
    url: '/Questionnaire/:id/$populate',
    exposeHeadRoute: false,
    schema: {
      ...POPULATED,
      described: askedBy(POPULATE_PARAMETERS),
      params: Id,
      querystring: Populated,
      summary: 'The intake of a child, with what its record knows already',
    },
    handler: (request, reply) => answered(request, reply, request.params.id),
  })
  app.route({
    method: ['GET', 'POST'],
    url: '/Questionnaire/$populate',
    exposeHeadRoute: false,
    schema: {
      ...POPULATED,
      described: askedBy([...POPULATE_PARAMETERS, ...FORM_PARAMETERS]),
      querystring: Populated.extend({ questionnaire: z.string().optional() }),
      summary: 'The same, with the form named by a parameter',
    },
    handler: (request, reply) => answered(request, reply),
  })
}
