import type { FastifyReply, FastifyRequest } from 'fastify'
import type { FastifyPluginAsyncZod } from 'fastify-type-provider-zod'
import { z } from 'zod'
import { documentHtml } from '../documents/html.ts'
import { documentPdf } from '../documents/pdf.ts'
import { askedWrongly } from '../errors.ts'
import {
  DOCUMENT_OF_TYPE_PARAMETERS,
  DOCUMENT_PARAMETERS,
  documentAsked,
} from '../fhir/composition-parameters.ts'
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
import { askedAsDefined, askedBy, formatAmong } from './described-operations.ts'
import { checkAcceptable, fhirJson, isWanted } from './fhir-answer.ts'
import { fhirBody, queryPairs, rawBody } from './fhir-body.ts'
import { askedIn, askedPairs } from './operation-request.ts'
import { Asked } from './operation-routes.ts'
import { outcomes, resourceAnswer, SECURED, Target } from './schemas.ts'

const HTML = 'text/html'
const PDF = 'application/pdf'
/** A page opened by itself runs and loads nothing, and stands in no frame; its own style is in it. */
const POLICY = "default-src 'none'; style-src 'unsafe-inline'; frame-ancestors 'none'; sandbox"

const Of = Target.pick({ id: true })
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

  await app.register(compositionRoutes, { context })
}

const compositionRoutes: FastifyPluginAsyncZod<{ context: Context }> = async (app, { context }) => {
  for (const composition of ['/Composition/:id', '/Composition']) {
    const isOne = composition !== '/Composition'
    app.route({
      method: ['GET', 'POST'],
      url: `${composition}/$document`,
      schema: {
        ...SECURED,
        described: askedBy(isOne ? DOCUMENT_PARAMETERS : DOCUMENT_OF_TYPE_PARAMETERS),
        ...(isOne ? { params: Of } : {}),
        summary: `A Composition${isOne ? '' : ', named by a parameter,'} with everything that it refers to`,
        description: 'A Bundle of type document, as R4 defines the operation. Nothing is stored.',
        response: { 200: resourceAnswer('Bundle of type document'), ...outcomes(400, 404, 410) },
      },
      handler: async (request, reply) => {
        const inAddress = Of.safeParse(request.params).data?.id
        const { baseUrl } = context
        const id = documentAsked(askedPairs(request), { inAddress, baseUrl })
        const found = await compositionDocument(context, request.caller, id)
        return fhirJson(request, reply).send(found)
      },
    })
  }
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
