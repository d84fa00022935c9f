import { expect } from 'vitest'
import { entryOf, requestOf, tagOf } from './fhir-model-requests.ts'
import { type Criterion, queryOf } from './fhir-model-search.ts'
import { type Effect, FhirModel } from './fhir-model.ts'
import type { Write } from './fhir-model-writes.ts'
import type { ModelType, Pick } from './fhir-model-steps.ts'
import type { Json } from './referral.ts'
import { type Answer, bundle, entries, resource, resources, type Sent } from './service.ts'

export interface Walked {
  readonly send: (sent: Sent) => Promise<Answer>
  /** The service's clock, in ms. */
  readonly now: () => number
}

/** One walk: the service and the model do the same, and must say the same. */
export class Walk {
  readonly model = new FhirModel()
  /** What was done, to be read when the two disagree. */
  readonly told: string[] = []
  private readonly walked: Walked

  constructor(walked: Walked) {
    this.walked = walked
  }

  readonly pick: Pick = Object.assign(
    (type: ModelType, index: number) => {
      const never = `${type}/never`
      return index % 16 === 0 ? never : (oneOf(this.places(type), index) ?? never)
    },
    {
      live: (type: ModelType, index: number) =>
        oneOf(
          this.places(type).filter((place) => this.model.isLive(place)),
          index,
        ),
    },
  )

  private places(type: ModelType): string[] {
    return [...this.model.kept.keys()].filter((place) => place.startsWith(`${type}/`))
  }

  private async ask(
    method: Sent['method'],
    url: string,
    body?: unknown,
    headers: Record<string, string> = {},
  ) {
    const answer = await this.walked.send({
      ...(method === undefined ? {} : { method }),
      url: url === '' ? '/fhir' : `/fhir/${url}`,
      headers,
      ...(body === undefined ? {} : { body }),
    })
    const details = [
      headers['if-match'],
      headers['if-none-exist'],
      body === undefined ? '' : JSON.stringify(body),
    ]
    this.told.push(`${method} ${url} ${details.join(' ')} → ${answer.status}`)
    return answer
  }

  async write(write: Write): Promise<void> {
    const plan = this.model.plan([write], this.walked.now())
    const answer = await this.ask(...requestOf(write))
    if ('refusals' in plan) return isOneOf(answer, plan.refusals)
    const { status, place, written } = onlyEffect(plan.effects)
    isTold(answer, status)
    const at = place ?? placeOf(answer.headers['location'])
    this.commit(plan.effects, [write], [at])
    if (status === 204) return
    this.isAsKept(answer, at)
    if (written !== undefined) agree(answer.headers['etag'], tagOf(written.version))
  }

  async transact(writes: readonly Write[]): Promise<void> {
    const plan = this.model.plan(writes, this.walked.now())
    const body = { resourceType: 'Bundle', type: 'transaction', entry: writes.map(entryOf) }
    const answer = await this.ask('POST', '', body)
    if ('refusals' in plan) return isOneOf(answer, plan.refusals)
    isTold(answer, 200)
    const told = entries(answer).map(({ response }) => response)
    agree(
      told.map((one) => Number(one?.status.slice(0, 3))),
      plan.effects.map(({ status }) => status),
    )
    const places = plan.effects.map(({ place }, index) => place ?? placeOf(told[index]?.location))
    this.commit(plan.effects, writes, places)
  }

  private commit(
    effects: readonly Effect[],
    writes: readonly Write[],
    places: readonly string[],
  ): void {
    this.model.commit(effects, { writes, places, at: this.walked.now() })
  }

  async read(type: ModelType, index: number): Promise<void> {
    const place = this.pick(type, index)
    const answer = await this.ask('GET', place)
    const current = this.model.current(place)
    if (current?.resource === undefined) return isTold(answer, current === undefined ? 404 : 410)
    isTold(answer, 200)
    this.isAsKept(answer, place)
  }

  async vread(type: ModelType, index: number, version: number): Promise<void> {
    const place = this.pick(type, index)
    const answer = await this.ask('GET', `${place}/_history/${version}`)
    const kept = this.model.kept.get(place)?.[version - 1]
    if (kept?.resource === undefined) return isTold(answer, kept === undefined ? 404 : 410)
    isTold(answer, 200)
    this.isAsKept(answer, place, version)
  }

  async history(type: ModelType, index: number): Promise<void> {
    const place = this.pick(type, index)
    const answer = await this.ask('GET', `${place}/_history?_count=200`)
    const versions = this.model.kept.get(place)
    if (versions === undefined) return isTold(answer, 404)
    isTold(answer, 200)
    agree(bundle(answer).total, versions.length)
    agree(
      entries(answer).map((entry) => entry.resource),
      versions.toReversed().map(({ version, resource: one }) => one && this.kept(place, version)),
    )
  }

  async search(type: ModelType, criteria: readonly Criterion[]): Promise<void> {
    const answer = await this.ask('GET', `${type}?${queryOf(criteria)}&_count=200`)
    isTold(answer, 200)
    agree(
      resources(answer)
        .map((one) => `${type}/${String(one['id'])}`)
        .toSorted(),
      this.model.found(type, criteria, this.walked.now()).toSorted(),
    )
  }

  /** As the model keeps a version, with what the service sets. */
  private kept(place: string, version: number): Json {
    const { resource: one, at } = this.model.kept.get(place)?.[version - 1] ?? {}
    const meta = { versionId: String(version), lastUpdated: new Date(at ?? NaN).toISOString() }
    return { ...one, id: place.split('/')[1], meta }
  }

  private isAsKept(answer: Answer, place: string, version?: number): void {
    const kept = this.kept(place, version ?? this.model.current(place)?.version ?? 0)
    agree(resource(answer), kept)
  }
}

const placeOf = (location: unknown): string =>
  /\/fhir\/(\w+\/[^/]+)\/_history\/\d+$/.exec(String(location))?.[1] ?? ''

const agree = (told: unknown, modelled: unknown): void => expect(told).toEqual(modelled)
const isTold = (answer: Answer, status: number): void =>
  expect(answer.status, answer.text).toBe(status)
const isOneOf = (answer: Answer, statuses: readonly number[]): void =>
  expect(statuses, answer.text).toContain(answer.status)

function onlyEffect([effect]: readonly Effect[]): Effect {
  if (effect === undefined) throw new Error('A write has no effect')
  return effect
}

const oneOf = (places: readonly string[], index: number): string | undefined =>
  places[index % places.length]
