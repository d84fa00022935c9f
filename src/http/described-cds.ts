import { z } from 'zod'
import { CdsCallSent } from '../services/cds-call.ts'
import { CdsFeedbackSent } from '../services/cds-feedback.ts'
import { jsonBody } from './described.ts'

// The bodies of CDS Hooks 2.0, as they are read and as they are answered.

const Code = z.object({ system: z.string(), code: z.string(), display: z.string() })
const Suggestion = z.object({
  label: z.string(),
  uuid: z.guid(),
  isRecommended: z.boolean().optional(),
  actions: z.array(
    z.object({
      type: z.enum(['create', 'update']),
      description: z.string(),
      resource: z.looseObject({ resourceType: z.literal('ServiceRequest') }),
    }),
  ),
})
const Card = z.object({
  uuid: z.guid(),
  summary: z.string().max(140),
  detail: z.string(),
  indicator: z.enum(['info', 'warning', 'critical']),
  source: z.object({ label: z.string(), url: z.url(), topic: Code }),
  suggestions: z.array(Suggestion).optional(),
  selectionBehavior: z.literal('at-most-one').optional(),
  overrideReasons: z.array(Code),
  links: z.array(z.object({ label: z.string(), url: z.url(), type: z.literal('absolute') })),
})

const schemaOf = (schema: z.ZodType): object => {
  const { $schema: _, ...content } = z.toJSONSchema(schema)
  return content
}

/** Sent as text; the schema is for the interface description only. */
export const CARDS = z
  .unknown()
  .meta({ ...schemaOf(z.object({ cards: z.array(Card) })), description: 'Cards of CDS Hooks 2.0' })

export const CDS_CALL = jsonBody(
  'A call of CDS Hooks 2.0. prefetch holds what the discovery names, each a resource, a Bundle, null or an OperationOutcome.',
  CdsCallSent,
)
export const CDS_FEEDBACK = jsonBody('What became of at most 100 cards.', CdsFeedbackSent)
