import type { FastifyInstance } from 'fastify'

/** One line a request: an address may hold a search for a name, so only the route is written. */
export function installLogLine(app: FastifyInstance): void {
  app.addHook('onResponse', (request, reply, done) => {
    request.log.info(
      {
        method: request.method,
        route: request.routeOptions.url,
        status: reply.statusCode,
        ms: Math.round(reply.elapsedTime),
      },
      'answered',
    )
    done()
  })
}
