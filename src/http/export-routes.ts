import type { FastifyReply, FastifyRequest } from 'fastify'
import type { FastifyPluginAsyncZod } from 'fastify-type-provider-zod'
import { z } from 'zod'
import { AppError } from '../errors.ts'
import { EXPORT_PARAMETERS, type ExportLevel } from '../fhir/export-request.ts'
import type { Context } from '../services/context.ts'
import { endExport, startExport } from '../services/export.ts'
import { exportFile } from '../services/export-file.ts'
import { exportStatus, requireFile } from '../services/export-manifest.ts'
import { EXPORT_PREFERENCES } from './described-headers.ts'
import { askedBy } from './described-operations.ts'
import { askedPairs } from './operation-request.ts'
import { preferences } from './preferences.ts'
import { outcomes, resourceAnswer, SECURED, Target } from './schemas.ts'

const ExportId = Target.pick({ id: true })
const ACCEPTED = {
  202: z.undefined().meta({ description: 'Taken; Content-Location says where it is' }),
}
const RETRY_S = 5

/** Bulk Data Access. Paths are relative to the FHIR base. */
export const exportRoutes: FastifyPluginAsyncZod<{ context: Context }> = async (
  app,
  { context },
) => {
  const levels: readonly (readonly [string, ExportLevel])[] = [
    ['/$export', 'system'],
    ['/Patient/$export', 'patient'],
    ['/Group/:id/$export', 'group'],
  ]
  for (const [url, level] of levels)
    app.route({
      method: ['GET', 'POST'],
      url,
      exposeHeadRoute: false,
      schema: {
        ...SECURED,
        described: {
          ...askedBy(Object.values(EXPORT_PARAMETERS)),
          headers: [EXPORT_PREFERENCES],
          answers: { 202: ['Content-Location'] },
        },
        summary: `Export resources in bulk, level ${level}`,
        description:
          'Everything is as it was at the instant of this request; nothing is produced before it is fetched.',
        ...(level === 'group' ? { params: ExportId } : {}),
        response: { ...ACCEPTED, ...outcomes(400, 404) },
      },
      handler: async (request, reply) => {
        const exportId = await startExport(context, request.caller, {
          level,
          groupId: groupIn(request, level),
          url: `${context.baseUrl}${(request.raw.url ?? '').replace(/^\/fhir/, '')}`,
          parameters: askedPairs(request),
          handling: preferences(request).handlingAsked ?? 'strict',
        })
        const location = `${context.baseUrl}/$export-status/${exportId}`
        return reply.status(202).header('content-location', location).send()
      },
    })

  app.route({
    method: 'GET',
    url: '/$export-status/:id',
    config: { anyAnswer: true },
    schema: {
      ...SECURED,
      described: { answers: { 200: ['Expires'], 202: ['X-Progress', 'Retry-After'] } },
      summary: 'The manifest of an export',
      params: ExportId,
      response: {
        200: resourceAnswer('The manifest'),
        202: z.undefined().meta({ description: 'Not yet; Retry-After says when to ask again' }),
        ...outcomes(404),
      },
    },
    handler: async (request, reply) => {
      const status = await exportStatus(context, request.caller, request.params.id)
      if (!status.isReady)
        return reply
          .status(202)
          .header('x-progress', 'waiting for writes that had begun before')
          .header('retry-after', String(status.waitS))
          .send()
      return reply
        .type('application/json')
        .header('expires', new Date(status.expiresAt).toUTCString())
        .send(status.body)
    },
  })

  app.route({
    method: 'DELETE',
    url: '/$export-status/:id',
    schema: {
      ...SECURED,
      summary: 'End an export',
      params: ExportId,
      response: { 202: z.undefined().meta({ description: 'It is over' }), ...outcomes(404) },
    },
    handler: async (request, reply) => {
      await endExport(context, request.caller, request.params.id)
      return reply.status(202).send()
    },
  })

  app.route({
    method: ['GET', 'HEAD'],
    url: '/$export-file/:id/:file',
    exposeHeadRoute: false,
    config: { anyAnswer: true },
    schema: {
      ...SECURED,
      produces: ['application/fhir+ndjson'],
      summary: 'A file of an export',
      params: ExportId.extend({ file: z.string().regex(/^[A-Za-z]{1,64}\.ndjson$/) }),
      response: { 200: resourceAnswer('One resource a line'), ...outcomes(404, 429) },
    },
    handler: (request, reply) => sendFile(request, reply),
  })

  async function sendFile(
    request: FastifyRequest<{ Params: { readonly id: string; readonly file: string } }>,
    reply: FastifyReply,
  ): Promise<FastifyReply> {
    const { id: exportId, file } = request.params
    try {
      const name = file.replace(/\.ndjson$/, '')
      if (request.method === 'HEAD') {
        // To read it all and send nothing would be waste: the manifest knows whether there is such a file.
        await requireFile(context, request.caller, { exportId, name })
        return await reply.type('application/fhir+ndjson').send()
      }
      const stream = await exportFile(context, request.caller, { exportId, name })
      return await reply.type('application/fhir+ndjson').send(stream)
    } catch (error) {
      if (error instanceof AppError && error.kind === 'throttled')
        reply.header('retry-after', String(RETRY_S))
      throw error
    }
  }
}

function groupIn({ params }: FastifyRequest, level: ExportLevel): string | undefined {
  if (level !== 'group' || typeof params !== 'object' || params === null) return undefined
  return 'id' in params ? String(params.id) : undefined
}
