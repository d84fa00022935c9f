import { beforeAll, describe, expect, test } from 'vitest'
import { z } from 'zod'
import { civilDate } from '../../src/domain/calendar.ts'
import { answerOf } from '../../src/fhir/fact-answers.ts'
import { answeredValue } from '../../src/fhir/information-values.ts'
import { FACT_QUESTIONS } from '../../src/fhir/information-questions.ts'
import { profileFaults } from '../../src/fhir/profiles.ts'
import { asResource, validateResource } from '../../src/fhir/validate.ts'
import { populated } from '../helpers/populated.ts'
import { changed, type Json, observed, referralParts, urn, without } from '../helpers/referral.ts'
import {
  type Answer,
  expressions,
  keptAs,
  resource,
  resources,
  type TestService,
  testService,
  type Who,
} from '../helpers/service.ts'

// PlanDefinition/$apply of R4 (12.18.3.3) and Questionnaire/$populate of Structured Data Capture.

let service: TestService
let staff: Who
let partner: Who
let other: Who
let patient: string

const PARTS = referralParts({ key: 'intake' })
const PLAN = '/fhir/PlanDefinition/orthotic-referral'
const FORM = '/fhir/Questionnaire/referral-intake'

beforeAll(async () => {
  service = await testService()
  ;({ staff, partner, other } = await service.clinic())
  patient = keptAs(await service.refer(partner, PARTS), PARTS, 'patient')
  return service.close
})

const get = (who: Who | undefined, url: string, headers: Readonly<Record<string, string>> = {}) =>
  service.send(who, { url, headers })
const apply = (who: Who | undefined, query: string, headers = {}) =>
  get(who, `${PLAN}/$apply?${query}`, headers)
const populate = (who: Who | undefined, query: string) => get(who, `${FORM}/$populate?${query}`)
const contained = (answer: Answer): Json[] =>
  z.array(z.record(z.string(), z.unknown())).parse(resource(answer)['contained'])

describe('what is published', () => {
  test('the plan and its activities are open to everybody, and a page names the evidence', async () => {
    for (const place of [
      'PlanDefinition/orthotic-referral',
      'ActivityDefinition/orthotic-referral',
      'ActivityDefinition/referral-task',
    ]) {
      const answer = await get(undefined, `/fhir/${place}`)
      expect([answer.status, validateResource(answer.json)], place).toEqual([200, []])
    }
    const page = await get(undefined, PLAN, { accept: 'text/html' })

    expect(page.headers['content-type']).toMatch(/^text\/html/)
    expect(page.text).toContain('17 children with Down syndrome')
  })

  test('the form of the intake is valid R4 and asks the whole minimum dataset', async () => {
    const answer = await get(partner, FORM)

    expect([answer.status, validateResource(answer.json)]).toEqual([200, []])
    for (const linkId of [
      'purpose',
      'service',
      'side',
      'child-name',
      'guardian-name',
      'guardian-contact',
      'guardian-authority',
      'consent-reference',
      'sender-name',
      'sender-regime',
      'child-birth-date',
      '76516-4',
      'walking-alone',
      'muscle-tone',
      'foot-posture-index.left',
      'open-skin.right',
      'diagnosis',
      'coverage',
      'priority',
      'reply',
      'reply-by',
    ])
      expect(answer.text, linkId).toContain(`"linkId":"${linkId}"`)
  })
})

describe('$apply', () => {
  test('gives a CarePlan with one RequestGroup, and drafts that keep R4 and our profiles', async () => {
    const answer = await apply(partner, `subject=${patient}&practitioner=Practitioner/therapist-1`)
    const [group, request, task] = contained(answer)
    const today = civilDate('2026-03-02')

    expect(answer.status, answer.text).toBe(200)
    expect(validateResource(answer.json)).toEqual([])
    expect(resource(answer)).toMatchObject({
      resourceType: 'CarePlan',
      status: 'draft',
      intent: 'proposal',
      subject: { reference: patient },
      activity: [{ reference: { reference: '#request-group' } }],
    })
    expect(resource(answer)['id']).toBeUndefined()
    expect(group).toMatchObject({
      resourceType: 'RequestGroup',
      action: [
        { resource: { reference: '#referral' }, condition: [{ kind: 'applicability' }] },
        { resource: { reference: '#referral-task' } },
        { resource: { reference: 'Questionnaire/referral-intake' } },
      ],
    })
    expect(request).toMatchObject({
      resourceType: 'ServiceRequest',
      status: 'draft',
      requester: { reference: 'Practitioner/therapist-1' },
    })
    expect(JSON.stringify(request)).toContain('All criteria are met')
    expect(task).toMatchObject({ resourceType: 'Task', focus: { reference: '#referral' } })
    for (const draft of [request, task]) {
      // Alone it has nothing beside it that `#` could lead to.
      const text = JSON.stringify(draft).replaceAll('"#', '"ServiceRequest/')
      const alone: unknown = JSON.parse(text)
      expect(profileFaults(asResource(alone), 'Draft', today)).toEqual([])
    }
  })

  // R4, OperationDefinition PlanDefinition-apply: type and instance; planDefinition at the level of the type only.
  test('of the type is given the plan that is published, and no other', async () => {
    const plan = resource(await get(undefined, PLAN))
    const send = (...parameter: Json[]) =>
      service.send(partner, {
        method: 'POST',
        url: '/fhir/PlanDefinition/$apply',
        body: { resourceType: 'Parameters', parameter },
      })
    const subject = { name: 'subject', valueString: patient }
    const planDefinition = { name: 'planDefinition', resource: plan }
    const byAddress = await apply(partner, `subject=${patient}`)

    const applied = await send(subject, planDefinition)
    const another = await send(subject, {
      name: 'planDefinition',
      resource: { ...plan, url: 'https://elsewhere.example/PlanDefinition/1' },
    })
    const none = await send(subject)
    const atInstance = await service.send(partner, {
      method: 'POST',
      url: `${PLAN}/$apply`,
      body: { resourceType: 'Parameters', parameter: [subject, planDefinition] },
    })

    expect([applied.status, applied.text]).toEqual([200, byAddress.text])
    for (const refused of [another, none])
      expect([refused.status, expressions(refused)]).toEqual([
        400,
        ["Parameters.parameter.where(name='planDefinition')"],
      ])
    expect([atInstance.status, expressions(atInstance)]).toEqual([400, ['http.planDefinition']])
  })

  test('the same by POST, in the language that is asked for; nothing is stored', async () => {
    const count = () => service.sql(`select 1 from resource_versions where type <> 'AuditEvent'`)
    const before = await count()
    const answer = await service.send(partner, {
      method: 'POST',
      url: `${PLAN}/$apply`,
      body: {
        resourceType: 'Parameters',
        parameter: [{ name: 'subject', valueString: patient }],
      },
      headers: { 'accept-language': 'es' },
    })

    expect(answer.status, answer.text).toBe(200)
    expect(resource(answer)['language']).toBe('es')
    expect(await count()).toHaveLength(before.length)
  })

  test('a child outside the ages of the service has no action', async () => {
    const old = await service.send(partner, {
      method: 'POST',
      url: '/fhir/Patient',
      body: {
        ...PARTS.get('patient')?.resource,
        birthDate: '2015-01-01',
        identifier: [{ system: 'urn:x', value: 'old' }],
      },
    })
    const answer = await apply(partner, `subject=Patient/${String(resource(old)['id'])}`)
    const [group, ...drafts] = contained(answer)

    expect(validateResource(answer.json)).toEqual([])
    expect(group?.['action']).toBeUndefined()
    expect(drafts).toEqual([])
  })
})

describe('$populate', () => {
  const itemsOf = (answer: Answer): Map<string, Json> => {
    const found = new Map<string, Json>()
    const walk = (items: unknown): void => {
      for (const item of z.array(z.record(z.string(), z.unknown())).catch([]).parse(items)) {
        found.set(String(item['linkId']), item)
        walk(item['item'])
      }
    }
    walk(populated(answer).response['item'])
    return found
  }

  test('answers what the record knows, each answer with the version it comes from', async () => {
    const answer = await populate(partner, `subject=${patient}`)
    const items = itemsOf(answer)
    const first = (linkId: string) =>
      z.array(z.looseObject({})).parse(items.get(linkId)?.['answer'])[0]

    expect(answer.status, answer.text).toBe(200)
    expect(validateResource(answer.json)).toEqual([])
    expect(populated(answer).response).toMatchObject({
      status: 'in-progress',
      subject: { reference: patient },
    })
    expect(first('child-birth-date')).toMatchObject({
      valueDate: '2024-02-01',
      extension: [
        {
          url: 'https://footing.example/fhir/StructureDefinition/answer-source',
          valueReference: { reference: `${patient}/_history/1` },
        },
      ],
    })
    expect(first('guardian-name')).toMatchObject({ valueString: 'An invented guardian' })
    expect(first('muscle-tone')).toMatchObject({ valueCoding: { code: 'tone-low' } })
    expect(first('walking-alone')).toMatchObject({
      valueCoding: { code: 'yes' },
      item: [{ linkId: 'walking-alone.first-seen', answer: [{ valueDate: '2025-05-28' }] }],
    })
    expect(first('76516-4')).toMatchObject({ valueQuantity: { value: 38, code: 'wk' } })
    expect(first('diagnosis')).toMatchObject({ valueCoding: { code: 'P94.2' } })
    expect(first('foot-posture-index.left.1')).toMatchObject({ valueInteger: 2 })
    for (const linkId of ['consent-reference', 'coverage'])
      expect(JSON.stringify(first(linkId))).toContain('valueReference')
    // Nobody has said it yet: it is asked.
    for (const linkId of ['purpose', 'sender-name', 'guardian-authority'])
      expect(items.get(linkId), linkId).toEqual({ linkId })
  })

  test('what two observations of one day disagree about is asked anew', async () => {
    const parts = changed(referralParts({ key: 'disagree' }), 'motor-concern', {})
    const sent = keptAs(await service.refer(partner, parts), parts, 'patient')
    const before = itemsOf(await populate(partner, `subject=${sent}`))
    await service.send(partner, {
      method: 'POST',
      url: '/fhir/Observation',
      body: {
        ...observed('motor-concern', '2026-03-01', { valueBoolean: false }),
        subject: { reference: sent },
      },
    })
    const after = itemsOf(await populate(partner, `subject=${sent}`))

    expect(before.get('motor-concern')).toHaveProperty('answer')
    expect(after.get('motor-concern')).toEqual({ linkId: 'motor-concern' })
    expect(urn('motor-concern')).toMatch(/^urn:uuid:/)
  })

  test('an answer says exactly what its observation says: it reads back as the same value', () => {
    let read = 0
    for (const { resource: sent } of PARTS.values()) {
      if (sent['resourceType'] !== 'Observation') continue
      const observation = asResource({ ...sent, subject: { reference: 'Patient/1' } })
      if (observation.resourceType !== 'Observation') continue
      const question = FACT_QUESTIONS.find(
        ({ code, side }) =>
          JSON.stringify(observation.code).includes(`"${code.code}"`) &&
          (side === undefined || JSON.stringify(observation.bodySite).includes(side)),
      )
      const answer = question === undefined ? undefined : answerOf(observation, question)
      if (question === undefined || answer === undefined) continue
      const back = answeredValue({ linkId: question.linkId, ...answer }, question, 'item')
      const { valueBoolean, valueQuantity, valueCodeableConcept, component } = observation
      const value = { valueBoolean, valueQuantity, valueCodeableConcept, component }
      const plain = (one: unknown) => JSON.stringify(one).replaceAll(/,"display":"[^"]*"/g, '')

      expect(back?.ok, question.linkId).toBe(true)
      if (back?.ok === true) expect(JSON.parse(plain(back.value))).toEqual(JSON.parse(plain(value)))
      read += 1
    }

    expect(read).toBeGreaterThan(25)
  })
})

describe.each([
  ['$apply', apply, PLAN],
  ['$populate', populate, FORM],
] as const)('%s', (operation, ask, place) => {
  test('a child of others is not found, as one that there is not', async () => {
    const foreign = await ask(other, `subject=${patient}`)
    const absent = await ask(other, 'subject=Patient/nobody')

    expect([foreign.status, absent.status]).toEqual([404, 404])
    expect(foreign.text.replaceAll(patient, 'Patient/nobody')).toBe(absent.text)
    expect((await ask(staff, `subject=${patient}`)).status).toBe(200)
    expect((await ask(undefined, `subject=${patient}`)).status).toBe(401)
  })

  test('it needs the scopes of what it reads', async () => {
    const { clinicId } = partner
    const scope = 'system/Patient.r'
    const clientId = `narrow-${operation.slice(1)}`
    const reader = await service.who({ clinicId, scope, clientId })

    expect((await ask(reader, `subject=${patient}`)).status).toBe(403)
  })

  test.each([
    ['', 'http.subject'],
    ['subject=Practitioner/1', 'http.subject'],
    ['subject=Patient/1&subject=Patient/2', 'http.subject'],
    ['subject=Patient/1&unheard=of', 'http.unheard'],
  ])('"%s" is 400 at %s', async (query, at) => {
    const answer = await ask(partner, query)

    expect([answer.status, expressions(answer)]).toEqual([400, [at]])
  })

  test('of another plan or form there is none', async () => {
    const url = `${place}-other/${operation}?subject=${patient}`

    expect((await get(partner, url)).status).toBe(404)
  })

  test('that the child was read is in the log', async () => {
    await ask(partner, `subject=${patient}`)
    const events = await get(staff, `/fhir/AuditEvent?patient=${patient}&_count=200`)

    expect(events.text).toContain(`"code":"${operation.slice(1)}"`)
  })
})

describe('an intake that comes back filled in', () => {
  const chosen = (code: string): Json => ({
    answer: [{ valueCoding: { system: 'https://footing.example/fhir/CodeSystem/value', code } }],
  })

  /** A child of whom the tone is not told, and its intake with some findings in the place of those filled in. */
  async function returned(key: string, changes: Readonly<Record<string, (filled: Json) => Json>>) {
    const parts = without(referralParts({ key }), 'muscle-tone', 'condition', 'generalised-laxity')
    const sent = await service.refer(partner, parts)
    const subject = keptAs(sent, parts, 'patient')
    const filled = populated(await populate(partner, `subject=${subject}`)).response
    const [decided] = resources(
      await get(partner, `/fhir/Observation?subject=${subject}&code=orthosis-suitability`),
    )
    const before = JSON.stringify(decided)
    const groups = z
      .array(
        z.looseObject({ linkId: z.string(), item: z.array(z.looseObject({ linkId: z.string() })) }),
      )
      .parse(filled['item'])
    const item = groups.map((group) => {
      if (group.linkId !== 'findings') return group
      const kept = group.item.filter(({ linkId }) => !(linkId in changes))
      const more = Object.entries(changes).map(([linkId, change]) =>
        change(group.item.find((one) => one.linkId === linkId) ?? { linkId }),
      )
      return { ...group, item: [...kept, ...more] }
    })
    const answer = await service.send(partner, {
      method: 'POST',
      url: '/fhir/QuestionnaireResponse',
      body: { ...filled, status: 'completed', authored: '2026-03-02', item },
    })
    const found = async (code: string) =>
      resources(await get(partner, `/fhir/Observation?subject=${subject}&code=${code}`))
    return { answer, before, observed: found }
  }

  test('says what is new as observations, once, and leaves what it took from the record', async () => {
    const {
      answer,
      before,
      observed: found,
    } = await returned('returned', {
      'muscle-tone': (item) => ({ ...item, ...chosen('tone-low') }),
    })

    expect(answer.status, answer.text).toBe(201)
    expect(await found('muscle-tone')).toMatchObject([
      {
        effectiveDateTime: '2026-03-02',
        valueCodeableConcept: { coding: [{ code: 'tone-low' }] },
        derivedFrom: [{ reference: `QuestionnaireResponse/${String(resource(answer)['id'])}` }],
      },
    ])
    expect(await found('walking-alone')).toHaveLength(1)
    const decided = JSON.stringify(await found('orthosis-suitability'))
    expect(before).toContain('"undetermined"')
    expect(decided).toContain('"code":"suitable"')
  })

  test('is refused where it changes what it names as its source', async () => {
    const { answer, observed: found } = await returned('altered', {
      'walking-alone': (item) => JSON.parse(JSON.stringify(item).replace('"yes"', '"no"')) as Json,
    })

    expect(answer.status).toBe(422)
    expect(expressions(answer)[0]).toMatch(/^QuestionnaireResponse\.item\[\d+\]\.item\[\d+\]$/)
    expect(await found('walking-alone')).toHaveLength(1)
  })
})
