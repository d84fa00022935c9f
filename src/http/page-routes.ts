import cookie from '@fastify/cookie'
import type { FastifyError, FastifyInstance, FastifyReply, FastifyRequest } from 'fastify'
import type { FastifyPluginAsyncZod } from 'fastify-type-provider-zod'
import { AppError } from '../errors.ts'
import { auditPage } from '../pages/audit-page.ts'
import { childPage } from '../pages/child-page.ts'
import { messagePage } from '../pages/message-page.ts'
import { signInPage } from '../pages/sign-in-page.ts'
import { MARK, STYLE } from '../pages/style.ts'
import { worklistPage } from '../pages/worklist-page.ts'
import type { StaffMember } from '../services/staff-sign-in.ts'
import type { TokenCall } from '../services/token-audit.ts'
import { traceOf } from './error-handler.ts'
import { formBody, queryPairs } from './fhir-body.ts'
import { type Ask, NoAnswer } from './page-asking.ts'
import { auditContent, childContent } from './page-content.ts'
import { pageCookie, refuseOtherSites } from './page-session.ts'
import { worklistContent } from './worklist-content.ts'

/** Styles and pictures of our own, forms that come back here; nothing runs. */
const POLICY =
  "default-src 'none'; style-src 'self'; img-src 'self' data:; form-action 'self'; base-uri 'none'; frame-ancestors 'none'"
const BODY_LIMIT = 8_192
const STYLE_FRESH_S = 3_600
const JSON_TYPE = 'application/fhir+json'

/** Who may sign in, and how; what a page shows is asked of the API itself. */
export interface Staff {
  readonly signIn: (
    given: { readonly login: string; readonly password: string },
    call: TokenCall,
  ) => Promise<string | undefined>
  readonly member: (held: string | undefined) => Promise<StaffMember | undefined>
  readonly signOut: (held: string | undefined) => Promise<void>
}

interface Options {
  readonly staff: Staff
  /** Where the pages are, without a path. */
  readonly origin: string
  readonly now: () => Date
}

/** The pages for the clinic's staff: worklist, one child, audit. They read the API as any client does. */
export const pageRoutes: FastifyPluginAsyncZod<Options> = async (app, { staff, origin, now }) => {
  const kept = pageCookie(origin)
  const madeAt = () => now().toISOString()
  await app.register(cookie)
  app.addHook('onRequest', async (request, reply) => {
    reply.header('content-security-policy', POLICY).header('cache-control', 'no-store')
    if (request.method === 'POST') refuseOtherSites(request, origin)
  })
  app.setErrorHandler<FastifyError | NoAnswer>((error, request, reply) => {
    if (error instanceof NoAnswer && error.status === 401) return reply.redirect('/sign-in', 303)
    const { status, words } = saidOf(error)
    if (status >= 500) request.log.error({ err: traceOf(error) }, 'page failed')
    return page(reply.status(status), messagePage({ madeAt: madeAt() }, { status, words }))
  })

  /** A page of whoever is signed in; all others are led to the door. */
  const shown =
    (make: (request: FastifyRequest, at: Shown) => Promise<string>) =>
    async (request: FastifyRequest, reply: FastifyReply): Promise<FastifyReply> => {
      const member = await staff.member(kept.held(request))
      if (member === undefined) return reply.redirect('/sign-in', 303)
      const frame = { name: member.name, madeAt: madeAt() }
      return page(reply, await make(request, { frame, ask: askAs(app, request, member.token) }))
    }

  app.get('/', { schema: { hide: true } }, shown(worklist))
  app.get('/children/:id', { schema: { hide: true } }, shown(child))
  app.get('/audit', { schema: { hide: true } }, shown(audit))
  app.get('/sign-in', { schema: { hide: true } }, (_request, reply) =>
    page(reply, signInPage({ madeAt: madeAt() }, false)),
  )
  app.post(
    '/sign-in',
    { schema: { hide: true }, bodyLimit: BODY_LIMIT },
    async (request, reply) => {
      const form = new Map(formBody(request))
      const given = { login: form.get('login') ?? '', password: form.get('password') ?? '' }
      const held = await staff.signIn(given, { request: request.id, address: request.ip })
      if (held === undefined) return page(reply.status(401), signInPage({ madeAt: madeAt() }, true))
      kept.give(reply, held)
      return reply.redirect('/', 303)
    },
  )
  app.post(
    '/sign-out',
    { schema: { hide: true }, bodyLimit: BODY_LIMIT },
    async (request, reply) => {
      await staff.signOut(kept.held(request))
      kept.take(reply)
      return reply.redirect('/sign-in', 303)
    },
  )
  const still = (url: string, type: string, text: string) =>
    app.get(url, { schema: { hide: true } }, (_request, reply) =>
      reply.type(type).header('cache-control', `public, max-age=${STYLE_FRESH_S}`).send(text),
    )
  still('/pages.css', 'text/css; charset=utf-8', STYLE)
  still('/pages.svg', 'image/svg+xml', MARK)
}

interface Shown {
  readonly frame: { readonly name: string; readonly madeAt: string }
  readonly ask: Ask
}

const page = (reply: FastifyReply, html: string): FastifyReply =>
  reply.type('text/html; charset=utf-8').send(html)

const given = (request: FastifyRequest): ReadonlyMap<string, string> =>
  new Map(queryPairs(request).filter(([, value]) => value !== ''))

async function worklist(request: FastifyRequest, { frame, ask }: Shown): Promise<string> {
  const asked = given(request)
  const filter = {
    state: asked.get('state'),
    partner: asked.get('partner'),
    overdue: asked.get('overdue') === 'yes',
  }
  const at = { page: asked.get('page'), today: frame.madeAt.slice(0, 10) }
  return worklistPage(frame, await worklistContent(ask, filter, at))
}

async function child(request: FastifyRequest, { frame, ask }: Shown): Promise<string> {
  const id = /^\/children\/([A-Za-z0-9.-]{1,64})(?:\?|$)/.exec(request.url)?.[1]
  if (id === undefined) throw new AppError('not-found', 'There is no such child.')
  return childPage(frame, await childContent(ask, id, given(request).get('referral')))
}

async function audit(request: FastifyRequest, { frame, ask }: Shown): Promise<string> {
  const asked = given(request)
  const filter = {
    from: asked.get('from'),
    to: asked.get('to'),
    patient: asked.get('patient'),
    who: asked.get('who'),
    action: asked.get('action'),
    refused: asked.get('refused') === 'yes',
  }
  const isAsked = asked.has('ask') || asked.has('page')
  return auditPage(
    frame,
    filter,
    isAsked ? await auditContent(ask, filter, asked.get('page')) : undefined,
  )
}

/** Through the whole of the service: token, scopes, policies and audit hold for a page as for a client. */
const askAs =
  (app: FastifyInstance, request: FastifyRequest, token: string): Ask =>
  async (path, { accept = JSON_TYPE, body } = {}) => {
    const answer = await app.inject({
      method: body === undefined ? 'GET' : 'POST',
      url: path.startsWith('/') ? path : `/fhir/${path}`,
      headers: {
        authorization: `Bearer ${token}`,
        accept,
        'x-request-id': request.id,
        ...(body === undefined ? {} : { 'content-type': JSON_TYPE }),
      },
      ...(body === undefined ? {} : { payload: body }),
      remoteAddress: request.ip,
    })
    return { status: answer.statusCode, body: answer.body }
  }

function saidOf(error: FastifyError | NoAnswer): {
  readonly status: number
  readonly words: readonly string[]
} {
  if (error instanceof NoAnswer) return error
  if (error instanceof AppError) return { status: error.status, words: [error.message] }
  const status = error.statusCode ?? 500
  return status >= 400 && status < 500
    ? { status, words: ['The form cannot be read.'] }
    : { status: 500, words: ['The page could not be made.'] }
}
