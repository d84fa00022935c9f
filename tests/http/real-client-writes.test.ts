import { Client } from 'fhir-kit-client'
import { beforeAll, expect, test } from 'vitest'
import { z } from 'zod'
import { listeningFor } from '../helpers/listening.ts'
import { identifierOf } from '../helpers/referral.ts'

// What fhir-kit-client does beside sending a referral: it updates, patches, deletes, and is told of conflicts.

let client: Client

beforeAll(async () => {
  const { base, token, close } = await listeningFor('partner', '2026-03-02T09:00:00.000Z')
  client = new Client({ baseUrl: base, bearerToken: token })
  return close
})

const Kept = z.looseObject({
  id: z.string(),
  meta: z.object({ versionId: z.string(), lastUpdated: z.string() }),
})

test('it updates what it read, and learns when somebody else was first', async () => {
  const resourceType = 'Organization'
  const made = Kept.parse(
    await client.create({ resourceType, body: { resourceType, name: 'A practice (invented)' } }),
  )
  const { id } = made
  const options = { headers: { 'If-Match': 'W/"1"' } }
  const named = (name: string) => ({ resourceType, id, name })

  const second = Kept.parse(
    await client.update({ resourceType, id, body: named('Renamed (invented)'), options }),
  )
  const late = client.update({ resourceType, id, body: named('Too late (invented)'), options })

  expect(second.meta.versionId).toBe('2')
  await expect(late).rejects.toMatchObject({
    response: { status: 412, data: { resourceType: 'OperationOutcome' } },
  })
  expect(await client.read({ resourceType, id })).toMatchObject({ name: 'Renamed (invented)' })
})

test('it patches, deletes, and reads in the history what was done', async () => {
  const resourceType = 'Practitioner'
  const body = { resourceType, active: true, name: [{ text: 'An invented therapist' }] }
  const { id } = Kept.parse(await client.create({ resourceType, body }))

  const patched = await client.patch({
    resourceType,
    id,
    jsonPatch: [{ op: 'replace', path: '/active', value: false }],
  })
  await client.delete({ resourceType, id })

  expect(patched).toMatchObject({ id, active: false, meta: { versionId: '2' } })
  await expect(client.read({ resourceType, id })).rejects.toMatchObject({
    response: { status: 410 },
  })
  const History = z.object({
    type: z.literal('history'),
    entry: z.array(z.object({ request: z.object({ method: z.string() }) })),
  })
  const history = History.parse(await client.history({ resourceType, id }))
  // A history shows whole resources: what a patch made reads as if it had been put there.
  expect(history.entry.map(({ request }) => request.method)).toEqual(['DELETE', 'PUT', 'POST'])
})

test('it updates by a search: nothing there is created, what is there gets a new version', async () => {
  const resourceType = 'Organization'
  const searchParams = { identifier: 'https://practice.example/ids|real-client-third-practice' }
  const body = (name: string) => ({
    resourceType,
    identifier: [identifierOf('real-client', 'third-practice')],
    name,
  })
  const save = async (name: string) =>
    Kept.parse(await client.update({ resourceType, searchParams, body: body(name) }))

  const first = await save('A third practice (invented)')
  const second = await save('A third practice, renamed (invented)')

  expect(second.id).toBe(first.id)
  expect([first.meta.versionId, second.meta.versionId]).toEqual(['1', '2'])
})

test('it has a batch done entry by entry', async () => {
  const answer = await client.batch({
    body: {
      resourceType: 'Bundle',
      type: 'batch',
      entry: [
        {
          resource: { resourceType: 'Organization', name: 'Of a batch (invented)' },
          request: { method: 'POST', url: 'Organization' },
        },
        { request: { method: 'GET', url: 'Patient/nobody' } },
      ],
    },
  })

  const Answered = z.object({
    type: z.literal('batch-response'),
    entry: z.array(z.object({ response: z.object({ status: z.string() }) })),
  })
  const statuses = Answered.parse(answer).entry.map(({ response }) => response.status.slice(0, 3))
  expect(statuses).toEqual(['201', '404'])
})
