import { beforeAll, expect, test } from 'vitest'
import { z } from 'zod'
import { validateResource } from '../../src/fhir/validate.ts'
import {
  coded,
  type Json,
  type Parts,
  quantity,
  referralParts,
  without,
} from '../helpers/referral.ts'
import {
  type Answer,
  expressions,
  kept,
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
let other: Who

beforeAll(async () => {
  service = await testService()
  ;({ staff, partner, other } = await service.clinic())
  return service.close
})

const Request = z.looseObject({
  id: z.string(),
  meta: z.object({ versionId: z.string() }),
  status: z.string(),
  owner: z.object({ identifier: z.object({ value: z.string() }) }),
  restriction: z.object({ period: z.object({ end: z.string() }) }),
  partOf: z.array(z.object({ reference: z.string() })).optional(),
  input: z.array(
    z.looseObject({
      valueCanonical: z.string().optional(),
      valueDataRequirement: z
        .object({
          type: z.literal('Observation'),
          profile: z.array(z.string()),
          codeFilter: z.array(
            z.object({ path: z.string(), code: z.array(z.object({ code: z.string() })) }),
          ),
        })
        .optional(),
    }),
  ),
  output: z.array(z.object({ valueReference: z.object({ reference: z.string() }) })).default([]),
})
type Request = z.output<typeof Request>

const ASKS = 'code=https://footing.example/fhir/CodeSystem/task|information-request'

/** A child's referral with its requests, as its partner sees them. */
async function referred(key: string, change: (parts: Parts) => Parts) {
  const parts = change(referralParts({ key }))
  const sent = await service.refer(partner, parts)
  const id = keptAs(sent, parts, 'referral').split('/')[1]
  const patient = { reference: keptAs(sent, parts, 'patient') }
  const requests = async (who = partner): Promise<Request[]> =>
    resources(
      await service.send(who, { url: `/fhir/Task?focus=ServiceRequest/${id}&${ASKS}` }),
    ).map((one) => Request.parse(one))
  const task = async () =>
    z
      .looseObject({
        businessStatus: z.object({ coding: z.array(z.object({ code: z.string() })) }),
      })
      .parse(resource(await service.send(partner, { url: `/fhir/${keptAs(sent, parts, 'task')}` })))
  const businessStatus = async () => (await task()).businessStatus.coding[0]?.code
  const outcome = async () => {
    const found = await service.send(partner, {
      url: `/fhir/ServiceRequest/${id}/$triage`,
      method: 'POST',
    })
    const one = resources(found).find((finding) =>
      JSON.stringify(finding['code']).includes('orthosis-suitability'),
    )
    return z
      .looseObject({
        valueCodeableConcept: z.object({ coding: z.array(z.object({ code: z.string() })) }),
      })
      .parse(one).valueCodeableConcept.coding[0]?.code
  }
  const respond = (item: readonly Json[], more: Json = {}, who = partner) =>
    service.send(who, {
      method: 'POST',
      url: '/fhir/QuestionnaireResponse',
      body: {
        resourceType: 'QuestionnaireResponse',
        status: 'completed',
        authored: '2026-03-02',
        subject: patient,
        item,
        ...more,
      },
    })
  return { id, parts, sent, patient, requests, businessStatus, outcome, respond }
}

const needed = ({ input }: Request): string[] =>
  input.flatMap(({ valueDataRequirement }) =>
    valueDataRequirement === undefined
      ? []
      : [valueDataRequirement.codeFilter.map(({ code }) => code[0]?.code).join(' ')],
  )
const formOf = ({ input }: Request): string =>
  input.flatMap(({ valueCanonical }) => valueCanonical ?? [])[0] ?? ''
const said = (linkId: string, code: string): Json => ({
  linkId,
  answer: [{ valueCoding: { system: 'https://footing.example/fhir/CodeSystem/value', code } }],
})
const UNTONED = (parts: Parts) => without(parts, 'muscle-tone', 'condition', 'generalised-laxity')
const observationsOf = async (who: Who, patient: { reference: string }, code: string) =>
  resources(
    await service.send(who, {
      url: `/fhir/Observation?subject=${patient.reference}&code=https://footing.example/fhir/CodeSystem/observation|${code}`,
    }),
  )

test('a referral that can be decided asks for nothing', async () => {
  const { requests, outcome } = await referred('decided', (parts) => parts)

  expect(await outcome()).toBe('suitable')
  expect(await requests()).toEqual([])
})

test('what is undetermined asks its referrer once, for exactly what would decide', async () => {
  const { id, requests, businessStatus, outcome } = await referred('asks', UNTONED)

  const [request, ...more] = await requests()

  expect(more).toEqual([])
  expect(request?.status).toBe('requested')
  expect(request?.owner.identifier.value).toBe(partner.partnerId)
  expect(needed(request as Request)).toEqual(['muscle-tone', 'generalised-laxity'])
  expect(await businessStatus()).toBe('awaiting-information')
  expect(await outcome()).toBe('undetermined')
  await service.send(partner, { url: `/fhir/ServiceRequest/${id}/$triage`, method: 'POST' })
  expect((await requests()).map(({ meta }) => meta.versionId)).toEqual(['1'])
})

test('request and form are valid R4', async () => {
  const { requests } = await referred('valid', (parts) =>
    without(UNTONED(parts), 'foot-posture', 'ankle', 'modified', 'gestational', 'walking', 'heel'),
  )
  const [request] = await requests()
  const url = formOf(request as Request).split('|')[0]

  const [form] = resources(await service.send(partner, { url: `/fhir/Questionnaire?url=${url}` }))

  const task = await service.send(partner, { url: `/fhir/Task/${request?.id}` })
  expect(validateResource(task.json)).toEqual([])
  expect(validateResource(form)).toEqual([])
  expect(form?.['item']).toHaveLength(needed(request as Request).length)
})

test('the form is read by its partner and by nobody elsewhere', async () => {
  const { requests } = await referred('form', UNTONED)
  const [request] = await requests()
  const [url, version] = formOf(request as Request).split('|')
  const search = { url: `/fhir/Questionnaire?url=${url}&version=${version}` }

  const [form, ...more] = resources(await service.send(partner, search))

  expect(more).toEqual([])
  expect(form?.['item']).toMatchObject([
    { linkId: 'generalised-laxity', type: 'choice' },
    { linkId: 'muscle-tone', type: 'choice', code: [{ code: 'muscle-tone' }] },
  ])
  expect(resources(await service.send(other, search))).toEqual([])
  expect(await requests(other)).toEqual([])
})

test('an answer to the form decides the referral, in the same request', async () => {
  const { requests, businessStatus, outcome, respond, patient } = await referred('answers', UNTONED)
  const [request] = await requests()
  expect(await businessStatus()).toBe('awaiting-information')
  expect(await outcome()).toBe('undetermined')
  expect(await observationsOf(partner, patient, 'muscle-tone')).toEqual([])

  const answer = await respond([said('muscle-tone', 'tone-low')], {
    questionnaire: formOf(request as Request),
  })

  expect(answer.status).toBe(201)
  expect(await businessStatus()).toBe('in-triage')
  expect(await outcome()).toBe('suitable')
  const [after, ...more] = await requests()
  expect(more).toEqual([])
  expect(after?.status).toBe('completed')
  const [tone] = await observationsOf(partner, patient, 'muscle-tone')
  const response = `QuestionnaireResponse/${String(resource(answer)['id'])}`
  expect(tone).toMatchObject({
    derivedFrom: [{ reference: response }],
    effectiveDateTime: '2026-03-02',
    valueCodeableConcept: { coding: [{ code: 'tone-low' }] },
  })
  expect(after?.output.map(({ valueReference }) => valueReference.reference)).toEqual([
    `Observation/${String(tone?.['id'])}`,
    response,
  ])
})

test('an answer sent twice is one observation', async () => {
  const { requests, respond, patient } = await referred('twice', UNTONED)
  const questionnaire = formOf((await requests())[0] as Request)
  await respond([said('muscle-tone', 'tone-low')], { questionnaire })
  await respond([said('muscle-tone', 'tone-low')], { questionnaire })

  const found = await observationsOf(partner, patient, 'muscle-tone')

  expect(
    found.map(
      (one) =>
        z.looseObject({ meta: z.object({ versionId: z.string() }) }).parse(one).meta.versionId,
    ),
  ).toEqual(['1'])
})

test('of two copies of an answer the facts stand until both are taken back', async () => {
  const { requests, respond, patient, outcome } = await referred('two copies', UNTONED)
  const questionnaire = formOf((await requests())[0] as Request)
  const copies = []
  for (let copy = 0; copy < 2; copy += 1)
    copies.push(resource(await respond([said('muscle-tone', 'tone-low')], { questionnaire })))
  const takeBack = (copy: Json | undefined) =>
    service.send(partner, {
      method: 'PUT',
      url: `/fhir/QuestionnaireResponse/${String(copy?.['id'])}`,
      body: { ...copy, status: 'entered-in-error' },
    })

  expect((await takeBack(copies[0])).status).toBe(200)
  const [one] = await observationsOf(partner, patient, 'muscle-tone')
  expect(one).toMatchObject({
    status: 'amended',
    derivedFrom: [{ reference: `QuestionnaireResponse/${String(copies[1]?.['id'])}` }],
  })
  expect(await outcome()).toBe('suitable')

  expect((await takeBack(copies[1])).status).toBe(200)
  const [gone] = await observationsOf(partner, patient, 'muscle-tone')
  expect(gone).toMatchObject({ status: 'entered-in-error' })
  expect(await outcome()).toBe('undetermined')
})

test('two copies of an answer in one transaction, or one that takes the place of another, are one answer', async () => {
  const { requests, patient, outcome } = await referred('one transaction', UNTONED)
  const answer: Json = {
    resourceType: 'QuestionnaireResponse',
    questionnaire: formOf((await requests())[0] as Request),
    status: 'completed',
    authored: '2026-03-02',
    subject: patient,
    item: [said('muscle-tone', 'tone-low')],
  }
  const post = { request: { method: 'POST', url: 'QuestionnaireResponse' }, resource: answer }
  const together = (entry: readonly Json[]) =>
    service.send(partner, {
      method: 'POST',
      url: '/fhir',
      body: { resourceType: 'Bundle', type: 'transaction', entry },
    })

  const sent = await together([post, post])
  expect(sent.status, sent.text).toBe(200)
  expect(await observationsOf(partner, patient, 'muscle-tone')).toHaveLength(1)

  const takenBack = kept(sent).map((place) => ({
    request: { method: 'PUT', url: place },
    resource: { ...answer, id: place.split('/')[1], status: 'entered-in-error' },
  }))
  const replaced = await together([...takenBack, post])
  expect(replaced.status, replaced.text).toBe(200)
  const [stands, ...more] = await observationsOf(partner, patient, 'muscle-tone')
  expect(more).toEqual([])
  expect(stands).toMatchObject({
    status: 'amended',
    derivedFrom: [{ reference: kept(replaced)[2] }],
  })
  expect(await outcome()).toBe('suitable')
})

test('observations alone answer too, and what is still missing stays asked', async () => {
  const { requests, businessStatus, patient } = await referred('observed', (parts) =>
    without(UNTONED(parts), 'open-skin'),
  )
  const [before] = await requests()
  expect(needed(before as Request)).toContain('open-skin left-foot')
  const send = (code: string, value: Json) =>
    service.send(partner, {
      method: 'POST',
      url: '/fhir/Observation',
      body: {
        resourceType: 'Observation',
        status: 'final',
        code: coded('observation', code),
        subject: patient,
        effectiveDateTime: '2026-03-02',
        ...value,
      },
    })

  await send('muscle-tone', { valueCodeableConcept: coded('value', 'tone-low') })
  const [then] = await requests()
  for (const side of ['left', 'right'])
    await send('open-skin', { valueBoolean: false, bodySite: coded('side', `${side}-foot`) })
  const [after] = await requests()

  expect(then?.status).toBe('requested')
  expect(needed(then as Request)).toEqual(['open-skin left-foot', 'open-skin right-foot'])
  expect(formOf(then as Request)).not.toBe(formOf(before as Request))
  expect(after?.status).toBe('completed')
  expect(after?.output).toHaveLength(3)
  expect(await businessStatus()).toBe('in-triage')
})

test('what is not known stays unknown and stays asked', async () => {
  const { requests, businessStatus, outcome, respond, patient } = await referred('unknown', UNTONED)
  const questionnaire = formOf((await requests())[0] as Request)

  const answer = await respond([said('muscle-tone', 'unknown')], { questionnaire })

  expect(answer.status).toBe(201)
  expect(await outcome()).toBe('undetermined')
  expect(await businessStatus()).toBe('awaiting-information')
  const [after] = await requests()
  expect(after?.status).toBe('requested')
  expect(needed(after as Request)).toContain('muscle-tone')
  expect(after?.output).toHaveLength(1)
  const [tone] = await observationsOf(partner, patient, 'muscle-tone')
  expect(tone).toMatchObject({ dataAbsentReason: { coding: [{ code: 'asked-unknown' }] } })
})

test('an amended answer amends, one entered in error takes its facts out', async () => {
  const { requests, outcome, respond, patient } = await referred('amends', UNTONED)
  const questionnaire = formOf((await requests())[0] as Request)
  const sent = resource(await respond([said('muscle-tone', 'tone-low')], { questionnaire }))
  const url = `/fhir/QuestionnaireResponse/${String(sent['id'])}`
  const put = (change: Json) =>
    service.send(partner, { method: 'PUT', url, body: { ...sent, ...change } })

  await put({ status: 'amended', item: [said('muscle-tone', 'tone-raised')] })
  const amended = await outcome()
  const [raised] = await observationsOf(partner, patient, 'muscle-tone')
  await put({ status: 'entered-in-error' })

  expect(amended).not.toBe('suitable')
  expect(raised).toMatchObject({ status: 'amended', meta: { versionId: '2' } })
  expect(await outcome()).toBe('undetermined')
  const [gone] = await observationsOf(partner, patient, 'muscle-tone')
  expect(gone?.['status']).toBe('entered-in-error')
  expect((await requests()).map(({ status }) => status).toSorted()).toEqual([
    'completed',
    'requested',
  ])
})

test('wrong answers are refused with their place, and nothing is kept', async () => {
  const { requests, respond, patient } = await referred('wrong', (parts) =>
    without(UNTONED(parts), 'ankle-dorsiflexion', 'foot-posture-index'),
  )
  const questionnaire = formOf((await requests())[0] as Request)
  const answer = (linkId: string, given: Json): Json => ({ linkId, answer: [given] })
  const ankle = 'ankle-dorsiflexion-knee-straight.left'
  const refused = async (item: Json, more: Json = {}) => {
    const got = await respond([said('generalised-laxity', 'yes'), item], { questionnaire, ...more })
    return [got.status, ...expressions(got)]
  }
  const at = 'QuestionnaireResponse.item[1].answer[0]'

  expect(await refused(answer(ankle, quantity(95, 'deg')))).toEqual([
    422,
    `${at}.valueQuantity.value`,
  ])
  expect(await refused(answer(ankle, quantity(5, 'mm')))).toEqual([422, `${at}.valueQuantity.code`])
  expect(await refused(answer(ankle, { valueString: 'ten' }))).toEqual([422, `${at}.value`])
  expect(await refused(answer('muscle-tone', { valueBoolean: true }))).toEqual([422, `${at}.value`])
  expect(await refused(said('muscle-tone', 'yes'))).toEqual([422, `${at}.valueCoding`])
  expect(
    await refused({
      linkId: 'foot-posture-index.left',
      item: [answer('foot-posture-index.left.3', { valueInteger: 3 })],
    }),
  ).toEqual([422, 'QuestionnaireResponse.item[1].item[0].answer[0].valueInteger'])
  expect(await refused(said('nothing-asked', 'yes'))).toEqual([
    422,
    'QuestionnaireResponse.item[1].linkId',
  ])
  expect(await refused(said('habitual-w-sitting', 'yes'))).toEqual([
    422,
    'QuestionnaireResponse.item[1].linkId',
  ])
  expect(await refused(said('muscle-tone', 'tone-low'), { authored: '2026-03' })).toEqual([
    422,
    'QuestionnaireResponse.authored',
  ])
  expect(await observationsOf(partner, patient, 'generalised-laxity')).toEqual([])
})

test('a form that was never sent, or another partner’s child, is refused', async () => {
  const { requests, respond } = await referred('foreign', UNTONED)
  const questionnaire = formOf((await requests())[0] as Request)
  const unknown = await respond([said('muscle-tone', 'tone-low')], {
    questionnaire: 'https://footing.example/fhir/Questionnaire/information-000000000000|1',
  })
  const elsewhere = await respond([said('muscle-tone', 'tone-low')], { questionnaire }, other)

  expect([unknown.status, ...expressions(unknown)]).toEqual([
    422,
    'QuestionnaireResponse.questionnaire',
  ])
  expect([elsewhere.status, ...expressions(elsewhere)]).toEqual([
    422,
    'QuestionnaireResponse.subject.reference',
  ])
})

test('an answer needs the scopes of what it becomes', async () => {
  const { requests, respond } = await referred('scopes', UNTONED)
  const questionnaire = formOf((await requests())[0] as Request)
  const { clinicId, partnerId = '' } = partner
  const narrow = await service.who({
    clinicId,
    partnerId,
    clientId: 'forms-only',
    scope: 'system/QuestionnaireResponse.c',
  })

  const answer = await respond([said('muscle-tone', 'tone-low')], { questionnaire }, narrow)

  expect(answer.status).toBe(403)
  expect(answer.text).toContain('system/Observation.c')
})

test('staff answer for the referrer, who is told that nothing is missing', async () => {
  const { requests, outcome, respond } = await referred('staff', UNTONED)
  const questionnaire = formOf((await requests())[0] as Request)

  const answer = await respond([said('muscle-tone', 'tone-low')], { questionnaire }, staff)

  expect(answer.status).toBe(201)
  expect(await outcome()).toBe('suitable')
  const [after] = await requests()
  expect(after?.status).toBe('completed')
  expect(after?.output).toEqual([])
})

test('a referral that ends takes its request along', async () => {
  const { id, requests, sent, parts } = await referred('ends', UNTONED)
  const url = `/fhir/${keptAs(sent, parts, 'referral')}`
  const referral = resource(await service.send(partner, { url }))

  const revoked = await service.send(partner, {
    method: 'PUT',
    url: `/fhir/ServiceRequest/${id}`,
    body: { ...referral, status: 'entered-in-error' },
  })

  expect(revoked.status, revoked.text).toBe(200)
  expect((await requests()).map(({ status }) => status)).toEqual(['cancelled'])
})

/** Reads the open request, changes it and sends it back. */
async function changedRequest(
  who: Who,
  requests: () => Promise<Request[]>,
  change: Json,
): Promise<Answer> {
  const [request] = await requests()
  const url = `/fhir/Task/${String(request?.id)}`
  const stands = resource(await service.send(who, { url }))
  return service.send(who, { method: 'PUT', url, body: { ...stands, ...change } })
}

test('whoever is asked takes the request on, and refuses it with a reason only', async () => {
  const { requests } = await referred('asked-takes', UNTONED)
  const change = (to: Json) => changedRequest(partner, requests, to)

  expect((await change({ status: 'accepted' })).status).toBe(200)
  const bare = await change({ status: 'rejected' })
  const told = await change({ status: 'rejected', statusReason: { text: 'Not seen (invented).' } })

  expect([bare.status, expressions(bare)]).toEqual([422, ['Task.statusReason']])
  expect(told.status, told.text).toBe(200)
  expect((await change({ status: 'accepted' })).status).toBe(422)
})

test.each<[string, Json, string]>([
  ['completes it unanswered', { status: 'completed' }, 'Task.status'],
  ['cancels it', { status: 'cancelled', statusReason: { text: 'No.' } }, 'Task.status'],
  ['calls it an error', { status: 'entered-in-error' }, 'Task.status'],
  ['asks for less', { input: undefined }, 'Task.input'],
  ['says another why', { reasonCode: { text: 'Nothing' } }, 'Task.reasonCode'],
  ['gives it to somebody else', { owner: { display: 'Somebody (invented)' } }, 'Task.owner'],
  ['makes it another Task', { code: { text: 'A note' } }, 'Task.code'],
])('whoever is asked never %s', async (name, change, expression) => {
  const { requests, businessStatus } = await referred(`asked ${name}`, UNTONED)
  const answer = await changedRequest(partner, requests, change)

  expect([answer.status, expressions(answer)]).toEqual([422, [expression]])
  expect((await requests()).map(({ status }) => status)).toEqual(['requested'])
  expect(await businessStatus()).toBe('awaiting-information')
})

test('whoever is asked neither takes a request away nor makes one in the clinic’s name', async () => {
  const { requests } = await referred('asked-deletes', UNTONED)
  const [request] = await requests()
  const url = `/fhir/Task/${String(request?.id)}`
  const { id: _id, meta: _meta, ...copy } = resource(await service.send(partner, { url }))

  const gone = await service.send(partner, { method: 'DELETE', url })
  const made = await service.send(partner, { method: 'POST', url: '/fhir/Task', body: copy })

  expect([gone.status, made.status]).toEqual([422, 403])
  expect(await requests()).toHaveLength(1)
})

test('staff withdraw a request with a reason', async () => {
  const { requests } = await referred('staff-withdraw', UNTONED)

  const bare = await changedRequest(staff, requests, { status: 'cancelled' })
  const told = await changedRequest(staff, requests, {
    status: 'cancelled',
    statusReason: { text: 'Seen at a visit (invented).' },
  })

  expect([bare.status, expressions(bare)]).toEqual([422, ['Task.statusReason']])
  expect(told.status, told.text).toBe(200)
})
