import swagger from '@fastify/swagger'
import swaggerUi from '@fastify/swagger-ui'
import type { FastifyInstance } from 'fastify'
import { ANSWER_HEADERS } from './described-answers.ts'
import { REFUSALS } from './described-refusals.ts'
import { describing } from './description.ts'

/** What the page of the description loads is its own; the small icons in its style sheet are data. */
const DOCS_POLICY =
  "default-src 'none'; script-src 'self'; style-src 'self' 'unsafe-inline'; img-src 'self' data:; " +
  "font-src 'self'; connect-src 'self'; base-uri 'none'; form-action 'self'; frame-ancestors 'none'"

interface Described {
  readonly version: string
  /** Where the service is, for whoever reads the description. */
  readonly origin: string
}

/** The interface description, made from the routes that are registered after it. */
export async function installOpenapi(
  app: FastifyInstance,
  { version, origin }: Described,
): Promise<void> {
  await app.register(swagger, {
    openapi: {
      openapi: '3.1.0',
      info: {
        title: 'Footing',
        version,
        description:
          'Referral exchange for paediatric orthotics. Resources are HL7 FHIR R4 (4.0.1); the CapabilityStatement at /fhir/metadata says what each type can do. Decision support for a qualified professional, not a diagnosis.',
      },
      servers: [{ url: origin, description: 'This service' }],
      tags: [
        { name: 'FHIR', description: 'The exchange' },
        { name: 'CDS Hooks', description: 'Advice at the point of care' },
        { name: 'SMART', description: 'How a system gets a token' },
        { name: 'Administration', description: 'Which systems may call' },
        { name: 'System', description: 'For whatever watches the process' },
      ],
      components: {
        headers: ANSWER_HEADERS,
        responses: REFUSALS,
        securitySchemes: { bearer: { type: 'http', scheme: 'bearer', bearerFormat: 'JWT' } },
      },
    },
    // The addresses are those of the routes, wherever the service stands.
    stripBasePath: false,
    exposeHeadRoutes: true,
    ...describing(),
  })
  await app.register(swaggerUi, {
    routePrefix: '/docs',
    staticCSP: DOCS_POLICY,
    // So that an operation has an address on the page.
    uiConfig: { deepLinking: true },
  })
}
