import type { FastifyReply, FastifyRequest } from 'fastify'
import { AppError } from '../errors.ts'

/** What the browser keeps; over HTTPS bound to this host alone by its name (RFC 6265bis 4.1.3). */
export interface PageCookie {
  readonly held: (request: FastifyRequest) => string | undefined
  readonly give: (reply: FastifyReply, value: string) => void
  readonly take: (reply: FastifyReply) => void
}

export function pageCookie(origin: string): PageCookie {
  const secure = origin.startsWith('https:')
  const name = secure ? '__Host-footing' : 'footing'
  const options = { path: '/', httpOnly: true, sameSite: 'strict', secure } as const
  return {
    held: ({ cookies }) => cookies[name],
    give: (reply, value) => void reply.setCookie(name, value, options),
    take: (reply) => void reply.clearCookie(name, options),
  }
}

/** A form of another site changes nothing here, whatever cookies come with it. */
export function refuseOtherSites({ headers }: FastifyRequest, origin: string): void {
  const site = headers['sec-fetch-site']
  const isOurs =
    site === undefined
      ? headers.origin === undefined || headers.origin === origin
      : site === 'same-origin' || site === 'none'
  if (!isOurs) throw new AppError('scope-missing', 'A form of another site is not taken.')
}
