import { beforeAll, expect, test } from 'vitest'
import type { Json } from '../helpers/referral.ts'
import { observationOf, patientOf, searcher } from '../helpers/searches.ts'
import { entries, issues, type TestService, testService, type Who } from '../helpers/service.ts'

// Access rules hold for what a condition looks into, or it leaks (R4 6.1.0.5.1); which letter a condition
// needs is ours: SMART App Launch 2.2 names the interactions, not their conditions.

let service: TestService

beforeAll(async () => {
  service = await testService()
  return service.close
})

const SYSTEM = 'http://a.example/children'

async function clinic() {
  const { staff } = await service.clinic()
  const as = searcher(service, staff)
  const identifier = [{ system: SYSTEM, value: 'kept' }]
  const kept = await as.create(patientOf({ identifier, name: [{ family: 'Hidden' }] }))
  const withScope = (scope: string) =>
    service.who({ clinicId: staff.clinicId, clientId: scope, scope })
  return { as, kept, withScope, identifier }
}

type Sending = readonly [method: 'POST' | 'PUT' | 'DELETE' | 'PATCH', url: string, body?: Json]
const send = (who: Who, [method, url, body]: Sending, headers: Record<string, string> = {}) =>
  service.send(who, { method, url: `/fhir/${url}`, headers, ...(body ? { body } : {}) })
const patch: Json = {
  resourceType: 'Parameters',
  parameter: [
    {
      name: 'operation',
      part: [
        { name: 'type', valueCode: 'add' },
        { name: 'path', valueString: 'Patient' },
        { name: 'name', valueString: 'gender' },
        { name: 'value', valueCode: 'female' },
      ],
    },
  ],
}

test('what was there before is shown to a token that reads, and named to one that does not', async () => {
  const { kept, withScope, identifier } = await clinic()
  const ifNoneExist = { 'if-none-exist': `identifier=${SYSTEM}|kept` }
  const sending: Sending = ['POST', 'Patient', patientOf({ identifier })]
  const asked = { ...ifNoneExist, prefer: 'return=representation' }
  const [creates, reads] = [
    await withScope('system/Patient.c'),
    await withScope('system/Patient.cr'),
  ]

  for (const headers of [ifNoneExist, asked]) {
    const hidden = await send(creates, sending, headers)
    const shown = await send(reads, sending, headers)
    expect([hidden.status, hidden.text, shown.status]).toEqual([200, '', 200])
    expect(hidden.headers['location']).toContain(`/Patient/${kept}/_history/1`)
    expect(shown.text).toContain('Hidden')
  }
  for (const type of ['transaction', 'batch']) {
    const request = { method: 'POST', url: 'Patient', ifNoneExist: `identifier=${SYSTEM}|kept` }
    const body = { resourceType: 'Bundle', type, entry: [{ resource: sending[2], request }] }
    const prefer = { prefer: 'return=representation' }
    const [hidden] = entries(await send(creates, ['POST', '', body], prefer))
    const [shown] = entries(await send(reads, ['POST', '', body], prefer))
    expect([hidden?.response?.status, hidden?.resource]).toEqual(['200 OK', undefined])
    expect(shown?.resource).toMatchObject({ name: [{ family: 'Hidden' }] })
  }
  // What it sent itself it may see again.
  const own = await send(creates, ['POST', 'Patient', patientOf()])
  expect([own.status, own.text === '']).toEqual([201, false])
})

test('a patch answers without the resource where the token does not read', async () => {
  const patched = async (scope: string) => {
    const { kept, withScope } = await clinic()
    return send(await withScope(scope), ['PATCH', `Patient/${kept}`, patch])
  }
  const hidden = await patched('system/Patient.u')
  const shown = await patched('system/Patient.ru')

  expect([hidden.status, hidden.text, hidden.headers['etag']]).toEqual([200, '', 'W/"2"'])
  expect(shown.status).toBe(200)
  expect(shown.text).toContain('Hidden')
})

// An identifier that its sender knows is looked up by whoever may write; anything else is a search.
test.each<[Sending, string, string | undefined]>([
  [['PUT', 'Patient?family=Hidden', patientOf()], 'system/Patient.cu', undefined],
  [['PATCH', 'Patient?family=Hidden', patch], 'system/Patient.u', undefined],
  [['DELETE', 'Patient?family=Hidden'], 'system/Patient.d', undefined],
  [['POST', 'Patient', patientOf()], 'system/Patient.c', 'family=Hidden'],
  [['POST', 'Patient', patientOf()], 'system/Patient.c', `identifier=${SYSTEM}|kept&family=H`],
])('%j with %s is refused without the letter s', async (sending, scope, ifNoneExist) => {
  const { as, withScope } = await clinic()
  const headers = ifNoneExist === undefined ? {} : { 'if-none-exist': ifNoneExist }

  const refused = await send(await withScope(scope), sending, headers)
  const letters = `rs${scope.split('.')[1]}`
  const ordered = 'cruds'.replaceAll(new RegExp(`[^${letters}]`, 'g'), '')
  const allowed = await send(await withScope(`system/Patient.${ordered}`), sending, headers)

  expect([refused.status, issues(refused)[0]?.details.text]).toEqual([
    403,
    'The scope system/Patient.s is needed.',
  ])
  expect(allowed.status, allowed.text).toBeLessThan(300)
  expect((await as.ids('Patient')).length).toBeLessThan(3)
})

test('a condition looks into no type that its token may not search', async () => {
  const { withScope } = await clinic()
  const who = await withScope('system/Observation.cruds')
  const search = (name: string) => ({ 'if-none-exist': `patient.family=${name}` })

  for (const name of ['Hidden', 'Nobody']) {
    const answer = await send(who, ['POST', 'Observation', observationOf()], search(name))
    expect([answer.status, issues(answer)[0]?.details.text]).toEqual([
      403,
      'The scope system/Patient.s is needed.',
    ])
  }
  const chained = await send(who, ['DELETE', 'Observation?patient.family=Hidden'])
  expect(chained.status).toBe(403)
})

test('a conditional reference finds by an identifier, and searches where the token may', async () => {
  const { withScope } = await clinic()
  const bundleOf = (query: string): Json => ({
    resourceType: 'Bundle',
    type: 'transaction',
    entry: [
      {
        resource: observationOf({ subject: { reference: `Patient?${query}` } }),
        request: { method: 'POST', url: 'Observation' },
      },
    ],
  })
  const creates = await withScope('system/Observation.c')
  const searches = await withScope('system/Observation.c system/Patient.s')
  const statusOf = async (who: Who, query: string) =>
    (await send(who, ['POST', '', bundleOf(query)])).status

  expect(await statusOf(creates, `identifier=${SYSTEM}|kept`)).toBe(200)
  expect(await statusOf(creates, 'family=Hidden')).toBe(403)
  expect(await statusOf(creates, 'family=Nobody')).toBe(403)
  expect(await statusOf(searches, 'family=Hidden')).toBe(200)
  expect(await statusOf(searches, 'family=Nobody')).toBe(422)
})
