import type { InjectOptions } from 'fastify'
import { REGISTRY } from '../../src/fhir/registry.ts'
import { anyRequest, type Dice } from './any-request.ts'
import { asBytes, mutatedJson } from './mutated-json.ts'
import { mutatedFhirPathPatch, mutatedJsonPatch } from './mutated-patches.ts'
import { ODD_HEADERS, ODD_TYPES } from './odd-headers.ts'
import { oddParameter, oddQuery } from './odd-searches.ts'
import { ownExamples } from './own-examples.ts'
import { bundleOf, referralParts, smallReferral } from './referral.ts'
import { pointingElsewhere } from './round-trip.ts'

// Requests of an honest client with something changed: at real addresses, with nearly right bodies.

const EXAMPLES = ownExamples().map(({ type, text }) => ({ type, text: pointingElsewhere(text) }))
const FHIR = 'application/fhir+json'
const JSON_PATCH = 'application/json-patch+json'
const REMEMBERED = 400

type Method = 'GET' | 'POST' | 'PUT' | 'PATCH' | 'DELETE' | 'HEAD'
interface Asked {
  readonly method: Method
  readonly path: string
  readonly body?: string
  readonly contentType?: string
}

/** Makes requests from a seed and from what was kept of those before. */
export class MutatedRequests {
  private readonly kept: string[] = []
  private children = 0

  private readonly dice: Dice
  private readonly token: string

  constructor(dice: Dice, token: string) {
    this.dice = dice
    this.token = token
  }

  /** Remembers where something is kept now, so that later requests find it. */
  readonly learn = (text: string, location: unknown): void => {
    const places = [String(location), ...text.slice(0, 20_000).split('"location":"').slice(1)]
    for (const place of places) {
      const found = /\/fhir\/([A-Z]\w+\/[\w.-]+)\/_history\/\d+/.exec(place)?.[1]
      if (found !== undefined) this.kept.push(found)
    }
    if (this.kept.length > REMEMBERED) this.kept.splice(0, this.kept.length - REMEMBERED)
  }

  readonly next = (): InjectOptions => {
    const { dice } = this
    if (dice.chance(12)) return anyRequest(dice, this.token)
    const { method, path, body, contentType = FHIR } = this.asked()
    const headers: Record<string, string> = { authorization: `Bearer ${this.token}` }
    if (body !== undefined)
      headers['content-type'] = dice.chance(30) ? dice.of(ODD_TYPES) : contentType
    for (const [name, values] of ODD_HEADERS) if (dice.chance(15)) headers[name] = dice.of(values)
    const payload = body === undefined ? {} : { payload: asBytes(body, dice) }
    return { method, url: `/fhir/${path}`.replaceAll('#', '%23'), headers, ...payload }
  }

  private asked(): Asked {
    switch (this.dice.below(12)) {
      case 0:
      case 1:
        return this.create()
      case 2:
        return this.update()
      case 3:
      case 4:
        return this.patch()
      case 5:
        return { method: 'POST', path: '', body: this.bundle() }
      case 6:
        return this.read()
      case 7:
        return this.operation()
      case 8:
        return this.dice.chance(3)
          ? { method: 'DELETE', path: this.dice.chance(2) ? this.condition() : this.place() }
          : this.read()
      default:
        return this.search()
    }
  }

  private place(): string {
    const { dice } = this
    if (this.kept.length > 0 && !dice.chance(8)) return dice.of(this.kept)
    return `${dice.of(REGISTRY).type}/${dice.of(['a', '0', 'A.-b', 'x'.repeat(64), '%00', '..%2Fa'])}`
  }

  private condition(type: string = this.dice.of(REGISTRY).type): string {
    return `${type}?${oddParameter(type, this.dice)}`
  }

  private example(type?: string): { readonly type: string; readonly text: string } {
    return EXAMPLES.find((one) => one.type === type) ?? this.dice.of(EXAMPLES)
  }

  private mutated(text: string): string {
    return this.dice.chance(6) ? text : mutatedJson(text, this.dice)
  }

  private create(): Asked {
    const { type, text } = this.example()
    return { method: 'POST', path: type, body: this.dice.chance(3) ? text : this.mutated(text) }
  }

  private update(): Asked {
    const place = this.place()
    const [type = '', id = ''] = place.split('/')
    const { text } = this.example(type)
    const named = text.replace(/"id"\s*:\s*"[^"]*"/, `"id":"${id}"`)
    const path = this.dice.chance(5) ? this.condition(type) : place
    return { method: 'PUT', path, body: this.mutated(named) }
  }

  private patch(): Asked {
    const { dice } = this
    const place = this.place()
    const [type = ''] = place.split('/')
    const { text } = this.example(type)
    const path = dice.chance(6) ? this.condition(type) : place
    return dice.chance(3)
      ? { method: 'PATCH', path, body: mutatedFhirPathPatch(type, text, dice) }
      : { method: 'PATCH', path, body: mutatedJsonPatch(text, dice), contentType: JSON_PATCH }
  }

  private bundle(): string {
    const { dice } = this
    if (dice.chance(2)) {
      const key = `mutated-${dice.chance(4) ? 0 : (this.children += 1)}`
      const parts = dice.chance(6) ? referralParts({ key }) : smallReferral({ key })
      return this.mutated(JSON.stringify(bundleOf(parts)))
    }
    const type = dice.of(['transaction', 'batch', 'batch', 'collection'])
    const entries = Array.from({ length: 1 + dice.below(6) }, (_, index) => this.entry(index))
    return this.mutated(`{"resourceType":"Bundle","type":"${type}","entry":[${entries.join(',')}]}`)
  }

  private entry(index: number): string {
    const { dice } = this
    const asked = dice.of([
      () => this.create(),
      () => this.update(),
      () => this.patch(),
      () => this.search(),
      () => this.read(),
      (): Asked => ({ method: 'DELETE', path: this.place() }),
    ])()
    const resource =
      asked.contentType === JSON_PATCH
        ? `{"resourceType":"Binary","contentType":"${JSON_PATCH}","data":"${Buffer.from(asked.body ?? '').toString('base64')}"}`
        : asked.body
    const once = dice.chance(5) ? `,"ifNoneExist":${JSON.stringify(this.condition())}` : ''
    const match = dice.chance(5) ? `,"ifMatch":"W/\\"${dice.below(4)}\\""` : ''
    const named = `"fullUrl":"urn:uuid:00000000-0000-4000-8000-00000000000${index}",`
    return `{${dice.chance(4) ? '' : named}${resource === undefined ? '' : `"resource":${resource},`}"request":{"method":"${asked.method}","url":${JSON.stringify(asked.path)}${once}${match}}}`
  }

  private read(): Asked {
    const { dice } = this
    const place = this.place()
    const rest = dice.of(['', '', '/_history', '/_history/1', '/_history/0', '/_history/1e3', '/'])
    const query = dice.chance(3) ? `?${oddQuery(place.split('/')[0] ?? '', dice)}` : ''
    return { method: dice.chance(9) ? 'HEAD' : 'GET', path: `${place}${rest}${query}` }
  }

  private search(): Asked {
    const { dice } = this
    const { type } = dice.of(REGISTRY)
    const query = oddQuery(type, dice)
    const patient = this.kept.find((place) => place.startsWith('Patient/')) ?? 'Patient/a'
    if (dice.chance(6))
      return {
        method: 'POST',
        path: dice.chance(4) ? `${patient}/${type}/_search` : `${type}/_search`,
        body: query,
        contentType: 'application/x-www-form-urlencoded',
      }
    const path = dice.chance(8)
      ? dice.of([`${patient}/${type}`, `${patient}/*`, '', '_history', `${type}/_history`])
      : type
    return { method: 'GET', path: `${path}?${query}` }
  }

  private operation(): Asked {
    const { dice } = this
    const place = this.place()
    const [type = ''] = place.split('/')
    const { text } = this.example(type)
    const query = oddQuery(type, dice)
    const referral = this.kept.find((kept) => kept.startsWith('ServiceRequest/'))
    const library = this.kept.find((kept) => kept.startsWith('Library/'))
    const asOf = `{"resourceType":"Parameters","parameter":[{"name":"asOf","valueDate":"2026-03-02"},{"name":"ruleSet","valueString":"a"}]}`
    return dice.of<() => Asked>([
      () => ({ method: 'POST', path: `${type}/$validate?${query}`, body: this.mutated(text) }),
      () => ({ method: 'POST', path: `${place}/$validate?mode=update`, body: this.mutated(text) }),
      () => ({
        method: 'POST',
        path: `${type}/$validate`,
        body: this.mutated(
          `{"resourceType":"Parameters","parameter":[{"name":"resource","resource":${text}},{"name":"mode","valueCode":"create"}]}`,
        ),
      }),
      () => ({ method: 'GET', path: `${place}/$everything?${query}` }),
      () => ({
        method: 'POST',
        path: `${referral ?? place}/$triage`,
        body: mutatedJson(asOf, dice),
      }),
      () => ({ method: 'GET', path: `${referral ?? place}/$fitting-plan?${query}` }),
      () => ({ method: 'GET', path: `${referral ?? place}/$chart?kind=urgency&${query}` }),
      () => ({ method: 'POST', path: `${library ?? place}/$what-if`, body: this.mutated(text) }),
      () => ({ method: 'GET', path: `$export-status/${dice.of(['a', '%00', '1'])}` }),
    ])()
  }
}
