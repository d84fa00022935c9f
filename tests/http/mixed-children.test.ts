import { beforeAll, beforeEach, describe, expect, test } from 'vitest'
import { observationOf, patientOf, searcher } from '../helpers/searches.ts'
import {
  type Answer,
  issues,
  resource,
  type TestService,
  testService,
  type Who,
} from '../helpers/service.ts'

// A fact that hangs on another child's request or visit is a mistaken chart (judgement: no standard says it).

/** Where each fault is, and which rule found it. */
const toldIssues = (answer: Answer): (string | undefined)[][] =>
  issues(answer).map(({ expression, details }) => [expression?.[0], details.coding?.[0]?.code])

let service: TestService
let partner: Who
let child: string
let sibling: string
let request: string
let ofSibling: string

const requestFor = (patient: string) => ({
  resourceType: 'ServiceRequest',
  status: 'active',
  intent: 'order',
  subject: { reference: `Patient/${patient}` },
})

const send = (method: 'POST' | 'PUT', url: string, body: object): Promise<Answer> =>
  service.send(partner, { method, url: `/fhir/${url}`, body })

beforeAll(async () => {
  service = await testService()
  ;({ partner } = await service.clinic())
  return service.close
})

beforeEach(async () => {
  const as = searcher(service, partner)
  child = await as.create(patientOf())
  sibling = await as.create(patientOf())
  request = await as.create(requestFor(child))
  ofSibling = await as.create(requestFor(sibling))
})

const seenIn = (patient: string, requestId: string) =>
  observationOf({
    subject: { reference: `Patient/${patient}` },
    basedOn: [{ reference: `ServiceRequest/${requestId}` }],
  })

describe('what is of one child', () => {
  test('refers to what is of the same child', async () => {
    expect((await send('POST', 'Observation', seenIn(child, request))).status).toBe(201)
  })

  test('is refused where it refers to what is of another, with the place', async () => {
    const refused = await send('POST', 'Observation', seenIn(child, ofSibling))

    expect(refused.status).toBe(422)
    expect(toldIssues(refused)).toEqual([['Observation.basedOn[0].reference', 'one-child']])
  })

  test('nor within one Bundle, nor by an update', async () => {
    const made = await send('POST', 'Observation', seenIn(child, request))
    const id = String(resource(made)['id'])
    const entry = [
      { fullUrl: 'urn:uuid:0b5f7a90-8a0e-4d0a-9d43-1f4f5f0f7a11', ...post(requestFor(sibling)) },
      post({
        ...seenIn(child, request),
        basedOn: [{ reference: 'urn:uuid:0b5f7a90-8a0e-4d0a-9d43-1f4f5f0f7a11' }],
      }),
    ]
    const together = await send('POST', '', { resourceType: 'Bundle', type: 'transaction', entry })
    const changed = await send('PUT', `Observation/${id}`, { ...seenIn(child, ofSibling), id })

    expect([together.status, changed.status]).toEqual([422, 422])
    expect(toldIssues(together)).toEqual([
      ['Bundle.entry[1].resource.basedOn[0].reference', 'one-child'],
    ])
  })

  test('a guardian may be the same person for two', async () => {
    const as = searcher(service, partner)
    const guardian = await as.create({
      resourceType: 'RelatedPerson',
      patient: { reference: `Patient/${child}` },
    })
    const told = observationOf({
      subject: { reference: `Patient/${sibling}` },
      performer: [{ reference: `RelatedPerson/${guardian}` }],
    })

    expect((await send('POST', 'Observation', told)).status).toBe(201)
  })
})

const post = (body: Readonly<Record<string, unknown>>) => ({
  resource: body,
  request: { method: 'POST', url: String(body['resourceType']) },
})
