import * as fc from 'fast-check'
import { expect } from 'vitest'
import { type Content, type Expected, InteractionModel } from './interaction-model.ts'
import type { Json } from './referral.ts'
import {
  type Answer,
  entries,
  linkOf,
  resource,
  resources,
  type TestService,
  type Who,
} from './service.ts'

const SYSTEM = 'https://practice.example/ids'
const KEYS = ['a', 'b', 'c']
const NAMES = ['Árbol', 'arbolito', 'Bach', 'Zelle']

type Match = 'none' | 'right' | 'wrong'
export interface Step {
  readonly kind:
    | 'create'
    | 'create-if-none'
    | 'read'
    | 'vread'
    | 'update'
    | 'patch'
    | 'delete'
    | 'conditional-update'
    | 'conditional-patch'
    | 'conditional-delete'
    | 'history'
    | 'search-key'
    | 'search-not'
    | 'search-name'
    | 'search-part'
    | 'transaction'
    | 'batch'
  readonly pick: number
  readonly other: number
  readonly key: string
  readonly name: string
  readonly match: Match
  readonly isPart: boolean
}

export const step: fc.Arbitrary<Step> = fc.record({
  kind: fc.constantFrom<Step['kind'][]>(
    'create',
    'create-if-none',
    'read',
    'vread',
    'update',
    'patch',
    'delete',
    'conditional-update',
    'conditional-patch',
    'conditional-delete',
    'history',
    'search-key',
    'search-not',
    'search-name',
    'search-part',
    'transaction',
    'batch',
  ),
  pick: fc.nat(),
  other: fc.nat(),
  key: fc.constantFrom(...KEYS),
  name: fc.constantFrom(...NAMES),
  match: fc.constantFrom('none', 'right', 'wrong'),
  isPart: fc.boolean(),
})

const bodyOf = ({ key, name, partOf }: Content, id?: string): Json => ({
  resourceType: 'Organization',
  ...(id === undefined ? {} : { id }),
  identifier: [{ system: SYSTEM, value: key }],
  name,
  ...(partOf === undefined ? {} : { partOf: { reference: `Organization/${partOf}` } }),
})
const byKey = (key: string): string => `identifier=${encodeURIComponent(`${SYSTEM}|${key}`)}`

/** One walk: the service and the model do the same, and must say the same. */

const agree = (told: unknown, expected: unknown, note = ''): void =>
  expect(told, note).toEqual(expected)

export class Walk {
  private readonly model = new InteractionModel()
  private readonly service: TestService
  private readonly who: Who

  constructor(service: TestService, who: Who) {
    this.service = service
    this.who = who
  }

  private send(
    method: 'GET' | 'POST' | 'PUT' | 'PATCH' | 'DELETE',
    path: string,
    body?: unknown,
    headers: Record<string, string> = {},
  ): Promise<Answer> {
    const url = path === '' ? '/fhir' : `/fhir/${path}`
    return this.service.send(this.who, {
      method,
      url,
      headers,
      ...(body === undefined ? {} : { body }),
    })
  }

  private idAt(pick: number): string {
    const ids = [...this.model.resources.keys()]
    return ids[pick % ids.length] ?? 'never'
  }

  private content({ key, name, other, isPart }: Step): Content {
    return { key, name, partOf: isPart ? this.idAt(other) : undefined }
  }

  private ifMatch(
    id: string,
    match: Match,
  ): { readonly version: number | undefined; readonly headers: Record<string, string> } {
    // Of what never was no version can have been seen.
    if (match === 'none' || this.model.version(id) === 0) return { version: undefined, headers: {} }
    const version = this.model.version(id) + (match === 'right' ? 0 : 1)
    return { version, headers: { 'if-match': `W/"${version}"` } }
  }

  private told(answer: Answer, expected: Expected): void {
    agree(answer.status, expected.status, answer.text)
    if (expected.version !== undefined) agree(answer.headers['etag'], `W/"${expected.version}"`)
    if (expected.status === 200 || expected.status === 201)
      agree(resource(answer)['id'], expected.id ?? resource(answer)['id'])
  }

  /** What a create came to: a new id. */
  private made(answer: Answer, content: Content): void {
    this.told(answer, { status: 201, version: 1 })
    this.model.write(String(resource(answer)['id']), content)
  }

  async do(one: Step): Promise<void> {
    const { model } = this
    const id = this.idAt(one.pick)
    const matches = model.withKey(one.key)
    const content = this.content(one)
    switch (one.kind) {
      case 'create': {
        const answer = await this.send('POST', 'Organization', bodyOf(content))
        return model.dangles(content)
          ? this.told(answer, { status: 422 })
          : this.made(answer, content)
      }
      case 'create-if-none': {
        const answer = await this.send('POST', 'Organization', bodyOf(content), {
          'if-none-exist': byKey(one.key),
        })
        if (matches.length > 1) return this.told(answer, { status: 412 })
        const [match] = matches
        if (match !== undefined) return this.told(answer, { ...model.read(match) })
        return model.dangles(content)
          ? this.told(answer, { status: 422 })
          : this.made(answer, content)
      }
      case 'read':
        return this.told(await this.send('GET', `Organization/${id}`), model.read(id))
      case 'vread': {
        const version = (one.other % 5) + 1
        return this.told(
          await this.send('GET', `Organization/${id}/_history/${version}`),
          model.readVersion(id, version),
        )
      }
      case 'update': {
        const { version, headers } = this.ifMatch(id, one.match)
        const answer = await this.send('PUT', `Organization/${id}`, bodyOf(content, id), headers)
        return this.told(answer, model.update(id, content, version))
      }
      case 'patch': {
        const { version, headers } = this.ifMatch(id, one.match)
        return this.told(
          await this.patch(`Organization/${id}`, one.name, headers),
          this.patched(id, one.name, version),
        )
      }
      case 'delete': {
        const { version, headers } = this.ifMatch(id, one.match)
        return this.told(
          await this.send('DELETE', `Organization/${id}`, undefined, headers),
          model.delete(id, version),
        )
      }
      case 'conditional-update': {
        const answer = await this.send('PUT', `Organization?${byKey(one.key)}`, bodyOf(content))
        const [match] = matches
        if (matches.length > 1) return this.told(answer, { status: 412 })
        if (match !== undefined) return this.told(answer, model.update(match, content, undefined))
        return model.dangles(content)
          ? this.told(answer, { status: 422 })
          : this.made(answer, content)
      }
      case 'conditional-patch': {
        const answer = await this.patch(`Organization?${byKey(one.key)}`, one.name, {})
        const [match] = matches
        if (match === undefined || matches.length > 1)
          return this.told(answer, { status: matches.length > 1 ? 412 : 404 })
        return this.told(answer, this.patched(match, one.name, undefined))
      }
      case 'conditional-delete': {
        const answer = await this.send('DELETE', `Organization?${byKey(one.key)}`)
        const [match] = matches
        if (matches.length > 1) return this.told(answer, { status: 412 })
        return this.told(
          answer,
          match === undefined ? { status: 204 } : model.delete(match, undefined),
        )
      }
      case 'history':
        return this.history(id)
      case 'search-key':
        return this.search(byKey(one.key), ({ key }) => key === one.key)
      case 'search-not':
        return this.search(byKey(one.key).replace('=', ':not='), ({ key }) => key !== one.key)
      case 'search-name':
        return this.search('name=ARBOL', ({ name }) => /^[aá]rbol/i.test(name))
      case 'search-part':
        return this.search(`partof=Organization/${id}`, ({ partOf }) => partOf === id)
      case 'transaction':
        return this.transaction(one, id, content)
      case 'batch':
        return this.batch(id)
    }
  }

  private patch(path: string, name: string, headers: Record<string, string>): Promise<Answer> {
    const patch = [{ op: 'replace', path: '/name', value: name }]
    return this.send('PATCH', path, patch, {
      'content-type': 'application/json-patch+json',
      ...headers,
    })
  }

  private patched(id: string, name: string, version: number | undefined): Expected {
    const now = this.model.current(id)
    if (now === undefined) return { status: 404 }
    if (now.content === undefined) return { status: 410 }
    return this.model.update(id, { ...now.content, name }, version)
  }

  private async history(id: string): Promise<void> {
    const answer = await this.send('GET', `Organization/${id}/_history?_count=200`)
    const versions = this.model.resources.get(id)
    if (versions === undefined) return this.told(answer, { status: 404 })
    agree(answer.status, 200, answer.text)
    agree(
      entries(answer).map(({ resource: one }) => one === undefined),
      versions.map(({ deleted }) => deleted).toReversed(),
    )
  }

  /** Every page is read; each match is on one of them. */
  private async search(query: string, fits: (content: Content) => boolean): Promise<void> {
    const found: string[] = []
    let path: string | undefined = `Organization?${query}&_count=3`
    while (path !== undefined) {
      const answer: Answer = await this.send('GET', path)
      agree(answer.status, 200, answer.text)
      found.push(...resources(answer).map(({ id }) => String(id)))
      path = linkOf(answer, 'next')?.replace(/^.*\/fhir\//, '')
    }
    const wanted = this.model.live().flatMap(([id, content]) => (fits(content) ? [id] : []))
    agree(found.toSorted(), wanted.toSorted())
  }

  private async transaction(one: Step, id: string, content: Content): Promise<void> {
    const { version } = this.ifMatch(id, one.match)
    const request = { method: 'PUT', url: `Organization/${id}` }
    const added: Content = { key: one.key, name: one.name, partOf: undefined }
    const answer = await this.send('POST', '', {
      resourceType: 'Bundle',
      type: 'transaction',
      entry: [
        { resource: bodyOf(added), request: { method: 'POST', url: 'Organization' } },
        {
          resource: bodyOf(content, id),
          request: version === undefined ? request : { ...request, ifMatch: `W/"${version}"` },
        },
      ],
    })
    const expected = this.model.update(id, content, version)
    if (expected.status >= 400) return this.told(answer, { status: expected.status })
    agree(answer.status, 200, answer.text)
    const [made, changed] = entries(answer).map(({ response }) => response)
    agree(
      [made?.status, changed?.status, changed?.etag],
      [
        '201 Created',
        expected.status === 201 ? '201 Created' : '200 OK',
        `W/"${expected.version ?? 0}"`,
      ],
    )
    this.model.write(/Organization\/([^/]+)/.exec(made?.location ?? '')?.[1] ?? '', added)
  }

  private async batch(id: string): Promise<void> {
    const answer = await this.send('POST', '', {
      resourceType: 'Bundle',
      type: 'batch',
      entry: [
        { request: { method: 'GET', url: `Organization/${id}` } },
        { request: { method: 'DELETE', url: `Organization/${id}` } },
      ],
    })
    const deletion = this.model.delete(id, undefined)
    const reading = this.model.read(id)
    agree(
      entries(answer).map(({ response }) => response?.status.slice(0, 3)),
      [String(reading.status), String(deletion.status)],
    )
  }
}
