import type { FastifyReply, FastifyRequest } from 'fastify'
import type { FastifyPluginAsyncZod } from 'fastify-type-provider-zod'
import { z } from 'zod'
import { documentHtml } from '../documents/html.ts'
import { documentPdf } from '../documents/pdf.ts'
import { AppError, askedWrongly } from '../errors.ts'
import { type AskedParameter, YES_OR_NO } from '../fhir/asked-parameter.ts'
import { DOCUMENT_KINDS } from '../fhir/document-codes.ts'
import {
  type DocumentReading,
  documentParameters,
  signOffParameters,
} from '../fhir/document-parameters.ts'
import type { Context } from '../services/context.ts'
import { compositionDocument } from '../services/document-bundle.ts'
import { previewDocument } from '../services/document-preview.ts'
import { signOffDocument } from '../services/sign-off.ts'
import { askedAsDefined, formatAmong } from './described-operations.ts'
import { checkAcceptable, fhirJson, isWanted } from './fhir-answer.ts'
import { fhirBody, queryPairs, rawBody } from './fhir-body.ts'
import { askedIn } from './operation-request.ts'
import { Asked } from './operation-routes.ts'
import { outcomes, resourceAnswer, SECURED, Target } from './schemas.ts'

const HTML = 'text/html'
const PDF = 'application/pdf'
/** A page opened by itself runs and loads nothing, and stands in no frame; its own style is in it. */
const POLICY = "default-src 'none'; style-src 'unsafe-inline'; frame-ancestors 'none'; sandbox"

const Of = Target.pick({ id: true })
const PERSIST: AskedParameter = {
  name: 'persist',
  description: 'false, as without it: the Bundle is not kept. true is refused.',
  value: YES_OR_NO,
}
/** Each once. */
const Wanted = { kind: z.string().optional(), paper: z.string().optional() }
const SignedOff = Asked.pick({ language: true }).extend({
  ...Wanted,
  person: z.string().optional(),
  release: z.string().optional(),
})

/** Papers of a referral. Paths are relative to the FHIR base. */
export const documentRoutes: FastifyPluginAsyncZod<{ context: Context }> = async (
  app,
  { context },
) => {
  app.route({
    method: ['GET', 'POST'],
    url: '/ServiceRequest/:id/$documents',
    config: { anyAnswer: true },
    schema: {
      ...SECURED,
      produces: [HTML, PDF, 'application/fhir+json'],
      params: Of,
      described: askedAsDefined('ServiceRequest', 'documents', formatAmong(HTML, PDF)),
      querystring: Asked.extend(Wanted),
      summary: 'A document of a referral, as a draft to review',
      description: `As HTML, as PDF, or as a FHIR document, for the staff of the clinic. Kinds: ${DOCUMENT_KINDS.join(', ')}. Nothing is stored.`,
      response: {
        200: resourceAnswer('The document, or a Bundle of type document'),
        ...outcomes(400, 404, 406, 410, 422),
      },
    },
    handler: async (request, reply) => {
      const form = formOf(request)
      const { kind, paper } = read(documentParameters(queryPairs(request), bodyOf(request)))
      const question = { ...askedIn(request), referralId: request.params.id, kind }
      const { document, bundle } = await previewDocument(context, request.caller, question)
      if (form === HTML) return sendPaper(reply, HTML, documentHtml(document))
      // The day that it tells of, so that the same draft is the same file.
      const at = new Date(`${document.on}T00:00:00Z`)
      if (form === PDF) return sendPaper(reply, PDF, await documentPdf(document, paper, at))
      return fhirJson(request, reply).send(bundle())
    },
  })

  app.route({
    method: 'POST',
    url: '/ServiceRequest/:id/$sign-off',
    schema: {
      ...SECURED,
      params: Of,
      described: askedAsDefined('ServiceRequest', 'sign-off'),
      querystring: SignedOff,
      summary: 'Keep a document as a person reviewed and signed it off',
      description:
        'Stores Composition, DocumentReference and Binaries in one transaction, with who attested it. A document of later data takes the place of the one before, which stays as it was. The reply becomes an output of the Task of the referral, which it completes when the visit is done, and goes to its partner; of the other kinds only the sheet for the family does, when it is released. Answered are Parameters: the DocumentReference as return, and as outcome a warning where a reply does not complete the referral. For the staff of the clinic.',
      response: { 200: resourceAnswer('Parameters'), ...outcomes(400, 404, 409, 410, 422) },
    },
    handler: async (request, reply) => {
      const { language } = askedIn(request)
      const asked = read(signOffParameters(queryPairs(request), bodyOf(request), context.baseUrl))
      const question = { ...asked, referralId: request.params.id, language }
      const kept = await signOffDocument(context, request.caller, question)
      return fhirJson(request, reply).send(kept)
    },
  })

  app.route({
    method: ['GET', 'POST'],
    url: '/Composition/:id/$document',
    schema: {
      ...SECURED,
      described: { query: [PERSIST] },
      params: Of,
      summary: 'A Composition with everything that it refers to',
      description: 'A Bundle of type document, as R4 defines the operation. Nothing is stored.',
      response: { 200: resourceAnswer('Bundle of type document'), ...outcomes(400, 404, 410) },
    },
    handler: async (request, reply) => {
      refusePersisting(request)
      const found = await compositionDocument(context, request.caller, request.params.id)
      return fhirJson(request, reply).send(found)
    },
  })
}

const bodyOf = (request: FastifyRequest): unknown =>
  rawBody(request).length === 0 ? undefined : fhirBody(request).value

function read<T>(reading: DocumentReading<T>): T {
  if (reading.ok) return reading.parameters
  throw askedWrongly(reading.faults)
}

/** HTML unless PDF or JSON is rather wanted. */
function formOf(request: FastifyRequest): typeof HTML | typeof PDF | 'json' {
  if (isWanted(request, PDF) && !isWanted(request, HTML)) return PDF
  if (isWanted(request, HTML)) return HTML
  checkAcceptable(request)
  return 'json'
}

const sendPaper = (
  reply: FastifyReply,
  type: typeof HTML | typeof PDF,
  content: string | Buffer,
): FastifyReply =>
  reply
    .type(type === HTML ? `${HTML}; charset=utf-8` : PDF)
    .header('content-security-policy', POLICY)
    .header('x-content-type-options', 'nosniff')
    .send(content)

function refusePersisting(request: FastifyRequest): void {
  const asked = queryPairs(request).find(([name]) => name === PERSIST.name)?.[1]
  if (asked === undefined || asked === 'false') return
  const text = 'The Bundle is made when it is asked for; it is not kept. Leave persist out.'
  throw new AppError('not-supported', text, [
    {
      severity: 'error',
      code: 'not-supported',
      expression: 'http.persist',
      rule: 'operation-parameter',
      text,
    },
  ])
}
