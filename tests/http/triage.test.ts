import { beforeAll, expect, test } from 'vitest'
import { z } from 'zod'
import { narrativeComplaints } from '../../src/fhir/narrative.ts'
import { isStaticPicture } from '../../src/fhir/static-picture.ts'
import {
  bundleOf,
  changed,
  coded,
  type Json,
  observed,
  type Parts,
  referralParts,
  without,
} from '../helpers/referral.ts'
import {
  type Answer,
  entries,
  expressions,
  issues,
  keptAs,
  resource,
  resources,
  type TestService,
  testService,
  type Who,
} from '../helpers/service.ts'

let service: TestService
let staff: Who
let partner: Who

beforeAll(async () => {
  service = await testService()
  ;({ staff, partner } = await service.clinic())
  return service.close
})

const Coded = z.object({ coding: z.array(z.object({ code: z.string() })) })
const Finding = z.object({
  code: Coded,
  valueCodeableConcept: Coded.optional(),
  derivedFrom: z.array(z.object({ reference: z.string() })).optional(),
})
const outcomeOf = (found: Answer): string | undefined =>
  resources(found)
    .flatMap((one) => (one['resourceType'] === 'Observation' ? [Finding.parse(one)] : []))
    .find(({ code }) => code.coding[0]?.code === 'orthosis-suitability')?.valueCodeableConcept
    ?.coding[0]?.code

async function referred(parts: Parts) {
  const sent = await service.refer(partner, parts)
  const at = (name: string) => keptAs(sent, parts, name)
  const get = (reference: string, who = partner) => service.send(who, { url: `/fhir/${reference}` })
  const triage = (query = '', who = partner, body?: unknown) =>
    service.send(who, {
      method: 'POST',
      url: `/fhir/${at('referral')}/$triage${query}`,
      ...(body === undefined ? {} : { body }),
    })
  const plan = (query = '', who = partner) =>
    service.send(who, { method: 'POST', url: `/fhir/${at('referral')}/$fitting-plan${query}` })
  return { at, get, triage, plan }
}
const rows = async () => {
  const [row] = await service.sql<{ count: number }>(
    `select count(*)::int as count from resource_versions where type <> 'AuditEvent'`,
  )
  return row?.count ?? 0
}
const asOf = (date: unknown): Json => ({
  resourceType: 'Parameters',
  parameter: [{ name: 'asOf', valueDate: date }],
})

const TaskShape = z.object({
  status: z.string(),
  priority: z.string(),
  businessStatus: Coded,
  restriction: z.object({ period: z.object({ end: z.string() }) }),
  output: z.array(z.object({ valueReference: z.object({ reference: z.string() }) })),
})

test('after intake the Task is received and in triage, with priority, date and results that resolve', async () => {
  const { at, get } = await referred(referralParts({ key: 'intake' }))

  const task = TaskShape.parse(resource(await get(at('task'))))

  expect(task).toMatchObject({
    status: 'received',
    priority: 'routine',
    businessStatus: { coding: [{ code: 'in-triage' }, { code: '2.0' }] },
  })
  expect(task.restriction.period.end).toMatch(/^2026-\d\d-\d\d$/)
  expect(task.output.length).toBeGreaterThan(12)
  for (const { valueReference } of task.output) {
    const found = await get(valueReference.reference)
    expect(found.status, valueReference.reference).toBe(200)
  }
})

test('with facts missing the Task awaits information, and the findings say which', async () => {
  const { at, get, triage } = await referred(
    without(referralParts({ key: 'missing' }), 'foot-posture-index', 'open-skin'),
  )

  const task = TaskShape.parse(resource(await get(at('task'))))
  const found = await triage()

  expect(task).toMatchObject({
    status: 'received',
    businessStatus: { coding: [{ code: 'awaiting-information' }, { code: '2.0' }] },
  })
  expect(outcomeOf(found)).toBe('undetermined')
  for (const code of ['foot-posture-index', 'open-skin', 'missing-observation'])
    expect(found.text).toContain(`"code":"${code}"`)
})

test('$triage returns the findings of the intake, byte by byte, and stores nothing', async () => {
  const { triage, at, get } = await referred(referralParts({ key: 'repeat' }))
  const task = await get(at('task'))
  const before = await rows()

  const [first, second] = [await triage(), await triage()]

  expect([first.status, second.status]).toEqual([200, 200])
  expect(second.text).toBe(first.text)
  expect(outcomeOf(first)).toBe('suitable')
  expect(await rows()).toBe(before)
  expect((await get(at('task'))).text).toBe(task.text)
  for (const { fullUrl, resource: one } of entries(first)) {
    const kept = await get(`${String(one?.['resourceType'])}/${String(one?.['id'])}`)
    expect(fullUrl?.endsWith(`/${String(one?.['resourceType'])}/${String(one?.['id'])}`)).toBe(true)
    expect(resource(kept)).toEqual(one)
  }
})

test('another day gives other findings, the same each time, and stores nothing', async () => {
  const { triage, at, get } = await referred(referralParts({ key: 'day' }))
  const first = await triage()
  const task = await get(at('task'))
  const before = await rows()

  const later = await triage('?asOf=2026-04-15')
  const again = await triage('', partner, asOf('2026-04-15'))

  const ids = (answer: Answer) =>
    resources(answer).flatMap((one) => (one['resourceType'] === 'Task' ? [] : [one['id']]))
  expect(later.status).toBe(200)
  expect(ids(later).filter((id) => ids(first).includes(id))).toEqual([])
  expect(again.text).toBe(later.text)
  expect(later.text).toContain('"effectiveDateTime":"2026-04-15"')
  expect(await rows()).toBe(before)
  expect((await get(at('task'))).text).toBe(task.text)
})

test('what was observed after the day is not used', async () => {
  const { triage, at } = await referred(referralParts({ key: 'past' }))

  const found = await triage('?asOf=2026-02-28')

  const findings = resources(found).filter((one) => one['resourceType'] === 'Observation')
  expect(outcomeOf(found)).toBe('undetermined')
  expect(JSON.stringify(findings)).not.toContain(at('muscle-tone'))
})

test('derivedFrom names the versions used, and all of them exist', async () => {
  const { triage, at, get } = await referred(referralParts({ key: 'derived' }))

  const found = resources(await triage()).flatMap((one) =>
    one['resourceType'] === 'Observation' ? [Finding.parse(one)] : [],
  )
  const used = found.flatMap(({ derivedFrom = [] }) =>
    derivedFrom.map(({ reference }) => reference),
  )
  const suitability = found.find(({ code }) => code.coding[0]?.code === 'orthosis-suitability')

  expect(suitability?.derivedFrom?.map(({ reference }) => reference)).toEqual(
    expect.arrayContaining([
      `${at('muscle-tone')}/_history/1`,
      `${at('foot-posture-index.left')}/_history/1`,
      `${at('open-skin.right')}/_history/1`,
    ]),
  )
  for (const reference of new Set(used)) {
    expect(reference).toMatch(/^Observation\/[^/]+\/_history\/1$/)
    expect((await get(reference)).status).toBe(200)
  }
})

test('Provenance names rule set, size chart, software, every input and every result', async () => {
  const parts = referralParts({ key: 'provenance' })
  const { triage, at } = await referred(parts)

  const found = resources(await triage())
  const provenance = z
    .object({
      target: z.array(z.object({ reference: z.string() })),
      agent: z.array(z.object({ who: z.object({ display: z.string() }) })),
      entity: z.array(
        z.object({
          what: z.object({
            reference: z.string().optional(),
            identifier: z.object({ value: z.string() }).optional(),
          }),
        }),
      ),
    })
    .parse(found.find((one) => one['resourceType'] === 'Provenance'))

  expect(provenance.agent[0]?.who.display).toMatch(/^Footing \d+\.\d+\.\d+$/)
  const [ruleSet, chart, ...inputs] = provenance.entity.map(({ what }) => what)
  expect(ruleSet?.identifier?.value).toBe('rule-set/footing-default/2026.1')
  expect(chart?.identifier?.value).toMatch(/^size-chart\/[\w-]+\/[\w.-]+$/)
  const read = [...parts].flatMap(([name, part]) =>
    ['Patient', 'Condition', 'Observation'].includes(String(part.resource['resourceType']))
      ? [`${at(name)}/_history/1`]
      : [],
  )
  expect(new Set(inputs.map(({ reference }) => reference))).toEqual(new Set(read))
  const results = found.flatMap((one) =>
    ['Observation', 'RiskAssessment'].includes(String(one['resourceType']))
      ? [`${String(one['resourceType'])}/${String(one['id'])}/_history/1`]
      : [],
  )
  expect(provenance.target.map(({ reference }) => reference)).toEqual(results)
})

test('an exclusion that only the clinic recorded counts when the partner asks again', async () => {
  const { triage, at, get } = await referred(referralParts({ key: 'clinic-only' }))
  const before = outcomeOf(await triage())
  const recorded = await service.send(staff, {
    method: 'POST',
    url: '/fhir/Observation',
    body: {
      ...observed('modified-ashworth-calf', '2026-03-02', {
        valueCodeableConcept: coded('value', 'ashworth-2'),
        bodySite: coded('side', 'left-foot'),
      }),
      subject: { reference: at('patient') },
    },
  })
  const id = String(resource(recorded)['id'])

  const after = await triage()

  expect([before, outcomeOf(after)]).toEqual(['suitable', 'unsuitable'])
  expect((await get(`Observation/${id}`)).status).toBe(404)
  const task = TaskShape.parse(resource(await get(at('task'))))
  for (const { valueReference } of task.output)
    expect((await get(valueReference.reference)).status).toBe(200)
})

test('$fitting-plan proposes devices, goals, visits and a fit check, the same each time', async () => {
  const { plan, at } = await referred(referralParts({ key: 'plan' }))
  const before = await rows()

  const [first, second] = [await plan(), await plan()]

  const types = resources(first).map((one) => String(one['resourceType']))
  expect(first.status).toBe(200)
  expect(second.text).toBe(first.text)
  expect(await rows()).toBe(before)
  expect(types.filter((type) => type === 'CarePlan')).toHaveLength(1)
  expect(types.filter((type) => type === 'DeviceRequest')).toHaveLength(2)
  expect(types.filter((type) => type === 'Questionnaire')).toHaveLength(1)
  expect(types).toContain('Goal')
  expect(types).toContain('ServiceRequest')
  const [care] = resources(first)
  const urls = entries(first).map(({ fullUrl }) => fullUrl)
  expect(care).toMatchObject({
    status: 'draft',
    intent: 'proposal',
    subject: { reference: at('patient') },
    period: { start: '2026-03-02' },
  })
  const linked = [...JSON.stringify(care).matchAll(/"reference":"(urn:uuid:[^"]+)"/g)].map(
    ([, url]) => url,
  )
  expect(linked.length).toBeGreaterThan(5)
  for (const url of linked) expect(urls).toContain(url)
  for (const one of resources(first)) expect(one).toHaveProperty('text.div')
})

test('$fitting-plan by GET and for another day', async () => {
  const { plan, at } = await referred(referralParts({ key: 'plan-day' }))

  const got = await service.send(partner, {
    url: `/fhir/${at('referral')}/$fitting-plan?asOf=2026-04-01`,
  })

  expect(got.status).toBe(200)
  expect(got.text).toBe((await plan('?asOf=2026-04-01')).text)
  expect(resources(got)[0]).toMatchObject({ period: { start: '2026-04-01' } })
})

test.each<[string, (parts: Parts) => Parts, RegExp]>([
  [
    'not suitable',
    (parts) =>
      changed(parts, 'modified-ashworth-calf.left', {
        valueCodeableConcept: coded('value', 'ashworth-2'),
      }),
    /unsuitable/,
  ],
  ['undetermined', (parts) => without(parts, 'foot-posture-index'), /undetermined/],
])(
  '$fitting-plan of a child that is %s is refused with 422 and the reason',
  async (title, change, reason) => {
    const { plan } = await referred(change(referralParts({ key: `plan-${title}` })))

    const answer = await plan()

    expect([answer.status, issues(answer)[0]?.code]).toEqual([422, 'business-rule'])
    expect(issues(answer)[0]?.details.text).toMatch(reason)
  },
)

test.each(['2026-02-30', '2026', '02.03.2026', '', 'today'])(
  'asOf %j is refused with 400 that names it',
  async (date) => {
    const { triage, plan } = await referred(referralParts({ key: `bad-${date}` }))

    for (const answer of [await triage(`?asOf=${date}`), await plan(`?asOf=${date}`)])
      expect([answer.status, expressions(answer)]).toEqual([400, ['http.asOf']])
    const inBody = await triage('', partner, asOf(date === '' ? 'x' : date))
    expect(inBody.status).toBe(400)
    expect(expressions(inBody)).toEqual(["Parameters.parameter.where(name='asOf').value"])
  },
)

test('a day before the birth is refused with its reason', async () => {
  const { triage } = await referred(referralParts({ key: 'unborn' }))

  const answer = await triage('?asOf=2020-01-01')

  expect([answer.status, issues(answer)[0]?.code]).toEqual([422, 'business-rule'])
})

test('a body that is no Parameters resource is refused with 400', async () => {
  const { triage } = await referred(referralParts({ key: 'no-parameters' }))

  for (const body of [
    { resourceType: 'Patient' },
    [],
    '{',
    { resourceType: 'Parameters', parameter: [{ name: 'asOf', valueString: '2026-03-01' }] },
  ])
    expect((await triage('', partner, body)).status).toBe(400)
  expect((await triage('', partner, { resourceType: 'Parameters' })).status).toBe(200)
})

test('an unknown referral is 404', async () => {
  for (const name of ['$triage', '$fitting-plan']) {
    const answer = await service.send(partner, {
      method: 'POST',
      url: `/fhir/ServiceRequest/nobody/${name}`,
    })
    expect([answer.status, issues(answer)[0]?.code]).toEqual([404, 'not-found'])
  }
})

test('a ServiceRequest that is no referral is refused with 422', async () => {
  const parts = changed(referralParts({ key: 'other' }), 'referral', {
    code: { text: 'Something' },
  })
  const sent = await service.send(partner, { method: 'POST', url: '/fhir', body: bundleOf(parts) })
  const id = keptAs(sent, parts, 'referral')

  for (const name of ['$triage', '$fitting-plan']) {
    const answer = await service.send(partner, { method: 'POST', url: `/fhir/${id}/${name}` })
    expect([answer.status, issues(answer)[0]?.code]).toEqual([422, 'business-rule'])
  }
})

test('a referral whose subject names a version of the child is triaged like any other', async () => {
  const parts = referralParts({ key: 'versioned' })
  const { at } = await referred(parts)
  const sent = await service.send(partner, {
    method: 'POST',
    url: '/fhir/ServiceRequest',
    body: {
      resourceType: 'ServiceRequest',
      status: 'active',
      intent: 'order',
      code: coded('exchange', 'orthotic-referral'),
      subject: { reference: `${at('patient')}/_history/1` },
    },
  })

  const found = await service.send(partner, {
    method: 'POST',
    url: `/fhir/ServiceRequest/${String(resource(sent)['id'])}/$triage`,
  })

  expect([sent.status, found.status, outcomeOf(found)]).toEqual([201, 200, 'suitable'])
})

/** A referral whose Task is sent in a request of its own; how the Task is read then. */
async function taskLater(whole: Parts) {
  const first = without(whole, 'task')
  const sent = await service.refer(partner, first)
  const [request, child] = ['referral', 'patient'].map((name) => keptAs(sent, first, name))
  const { requester: _left, ...task } = whole.get('task')?.resource ?? {}
  const body = { ...task, focus: { reference: request }, for: { reference: child } }
  const computed = async () =>
    (await service.sql(`select 1 from resource_versions where type = 'Observation'`)).length
  const before = await computed()
  const made = await service.send(partner, { method: 'POST', url: '/fhir/Task', body })
  expect(made.status, made.text).toBe(201)
  const find = (query: string) => service.send(partner, { url: `/fhir/Task?${query}` })
  return {
    task: resources(await find(`_id=${String(resource(made)['id'])}`))[0],
    asked: resources(await find(`focus=${request}&code=information-request`)),
    added: (await computed()) - before,
  }
}

test('a Task that is sent after its request is received as one that came with it', async () => {
  const { task, asked, added } = await taskLater(referralParts({ key: 'task-later' }))

  expect(task).toMatchObject({
    status: 'received',
    businessStatus: { coding: [{ code: 'in-triage' }, { code: '2.0' }] },
    meta: { versionId: '2' },
  })
  expect(task?.['restriction']).toBeDefined()
  expect([asked, added]).toEqual([[], 0])
})

test('one of an undetermined referral waits for information, which is asked for once', async () => {
  const whole = referralParts({ key: 'task-later-asks' })
  const { task, asked, added } = await taskLater(
    without(whole, 'muscle-tone', 'condition', 'generalised-laxity'),
  )

  expect(task).toMatchObject({
    status: 'received',
    businessStatus: { coding: [{ code: 'awaiting-information' }, { code: '2.0' }] },
  })
  expect(asked).toHaveLength(1)
  expect(added).toBe(0)
})

test('the narrative of the urgency carries the picture that $chart draws, in words too', async () => {
  const { at, get, triage } = await referred(referralParts({ key: 'urgency-picture' }))
  const found = resources(await triage()).find(
    (one) =>
      one['resourceType'] === 'Observation' &&
      Finding.parse(one).code.coding[0]?.code === 'referral-urgency',
  )
  const { div } = z.object({ text: z.object({ div: z.string() }) }).parse(found).text
  const { text: drawn } = await get(`${at('referral')}/$chart?kind=urgency`)

  const [, data = '', words = ''] =
    /<img src="data:image\/svg\+xml;base64,([^"]+)" alt="([^"]+)"\/>/.exec(div) ?? []
  expect(isStaticPicture(data)).toBe(true)
  expect(Buffer.from(data, 'base64').toString()).toBe(drawn)
  expect(words).toContain('Motor delay')
  expect(narrativeComplaints(div)).toEqual([])
})
