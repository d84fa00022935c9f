import { randomUUID } from 'node:crypto'
import { addAccount } from '../../src/services/staff-accounts.ts'
import type { TestService } from './service.ts'

// A member of the staff with a browser that keeps its cookie.

const FORM = { 'content-type': 'application/x-www-form-urlencoded' }
export const PASSWORD = 'an invented password'

export interface PageAnswer {
  readonly status: number
  readonly text: string
  readonly headers: Readonly<Record<string, unknown>>
}

export interface Browser {
  readonly clientId: string
  readonly login: string
  get(url: string, headers?: Readonly<Record<string, string>>): Promise<PageAnswer>
  post(
    url: string,
    form: Readonly<Record<string, string>>,
    headers?: Readonly<Record<string, string>>,
  ): Promise<PageAnswer>
  /** As it would be sent, for whoever steals it. */
  cookie(): string
}

/** An account is of a clinic that is registered. */
export const registerClinic = (service: TestService, clinicId: string) =>
  service.sql(
    `insert into clinics (clinic_id, name, created_at) values ($1, 'An invented clinic', now())
      on conflict do nothing`,
    [clinicId],
  )

export async function browser(
  service: TestService,
  { clinicId, scope }: { readonly clinicId: string; readonly scope?: string },
): Promise<Browser> {
  const { context } = service.service
  const login = `invented-${randomUUID()}`
  await registerClinic(service, clinicId)
  const { clientId } = await addAccount(context, {
    clinicId,
    login,
    name: 'An invented member of the staff',
    password: PASSWORD,
    ...(scope === undefined ? {} : { scope }),
  })
  let kept = ''
  const ask = async (
    method: 'GET' | 'POST',
    url: string,
    headers: Readonly<Record<string, string>>,
    payload?: string,
  ): Promise<PageAnswer> => {
    const answer = await service.service.app.inject({
      method,
      url,
      headers: { ...(kept === '' ? {} : { cookie: kept }), ...headers },
      ...(payload === undefined ? {} : { payload }),
    })
    const set = [answer.headers['set-cookie'] ?? []].flat()[0]
    if (set !== undefined) kept = set.split(';')[0] ?? ''
    return { status: answer.statusCode, text: answer.body, headers: answer.headers }
  }
  return {
    clientId,
    login,
    get: (url, headers = {}) => ask('GET', url, headers),
    post: (url, form, headers = {}) =>
      ask('POST', url, { ...FORM, ...headers }, new URLSearchParams(form).toString()),
    cookie: () => kept,
  }
}

export const enter = (one: Browser, password = PASSWORD): Promise<PageAnswer> =>
  one.post('/sign-in', { login: one.login, password })
