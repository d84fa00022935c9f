import { expect } from 'vitest'
import { z } from 'zod'
import { validateResource } from '../../src/fhir/validate.ts'
import type { Json } from './referral.ts'
import { type Answer, resource } from './service.ts'

const Populated = z.strictObject({
  resourceType: z.literal('Parameters'),
  parameter: z
    .array(
      z.strictObject({
        name: z.enum(['response', 'issues']),
        resource: z.record(z.string(), z.unknown()),
      }),
    )
    .min(1)
    .max(2),
})

/**
 * What `$populate` answers, held to Structured Data Capture (STU 4, OperationDefinition Questionnaire-populate, as in
 * input/fsh/operations of its repository): out are `response` 1..1, a QuestionnaireResponse, and `issues` 0..1, an
 * OperationOutcome. R4 3.2.0.6.2 lets only what is called `return` come alone (from memory): so these are Parameters.
 */
export function populated(answer: Answer): { readonly response: Json; readonly issues?: Json } {
  const { parameter } = Populated.parse(resource(answer))
  const [response, issues, ...more] = ['response', 'issues'].map((name) =>
    parameter.filter((one) => one.name === name).map((one) => one.resource),
  )
  if (more.length > 0 || response?.length !== 1 || response[0] === undefined)
    throw new Error('One response is answered')
  expectValid('QuestionnaireResponse', response[0])
  const [outcome] = issues ?? []
  if (outcome === undefined) return { response: response[0] }
  expectValid('OperationOutcome', outcome)
  return { response: response[0], issues: outcome }
}

function expectValid(type: string, one: Json): void {
  if (one['resourceType'] !== type) throw new Error(`A ${type} is answered`)
  expect(validateResource(one)).toEqual([])
}
