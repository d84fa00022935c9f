import { beforeAll, describe, expect, test } from 'vitest'
import { z } from 'zod'
import { validateResource } from '../../src/fhir/validate.ts'
import { type Json, smallReferral } from '../helpers/referral.ts'
import {
  type Answer,
  BASE,
  entries,
  expressions,
  issues,
  keptAs,
  resource,
  type TestService,
  testService,
  type Who,
} from '../helpers/service.ts'

// Patient/$match of R4. Every child is invented.

let service: TestService
interface Clinic {
  readonly staff: Who
  readonly partner: Who
  readonly other: Who
}
let clinic: Clinic

beforeAll(async () => {
  service = await testService()
  clinic = await service.clinic()
  return service.close
})

const MATCH_GRADE = 'http://hl7.org/fhir/StructureDefinition/match-grade'

const child = (change: Json = {}): Json => ({
  resourceType: 'Patient',
  name: [{ family: 'Quillfeather', given: ['Martha'] }],
  birthDate: '2024-03-05',
  gender: 'female',
  address: [{ postalCode: '99501' }],
  ...change,
})

let count = 0
const identified = (): Json => ({
  identifier: [{ system: 'https://practice.example/ids', value: `match-${(count += 1)}` }],
})

/** A copy of a child, as a partner or the clinic itself keeps it, each with an identifier of its own. */
async function kept(who: Who, patient: Json): Promise<string> {
  const body = { ...identified(), ...patient }
  const answer = await service.send(who, { method: 'POST', url: '/fhir/Patient', body })
  expect(answer.status, answer.text).toBe(201)
  return String(resource(answer)['id'])
}

const parameters = (patient: Json, more: readonly Json[] = []): Json => ({
  resourceType: 'Parameters',
  parameter: [{ name: 'resource', resource: patient }, ...more],
})
const ask = (who: Who | undefined, body: unknown, query = ''): Promise<Answer> =>
  service.send(who, { method: 'POST', url: `/fhir/Patient/$match${query}`, body })

const Scored = z.object({
  resourceType: z.literal('Bundle'),
  type: z.literal('searchset'),
  total: z.number(),
  entry: z
    .array(
      z.object({
        fullUrl: z.string().optional(),
        resource: z.looseObject({ resourceType: z.string(), id: z.string().optional() }),
        search: z.object({
          mode: z.string(),
          score: z.number().optional(),
          extension: z.array(z.object({ url: z.string(), valueCode: z.string() })).optional(),
        }),
      }),
    )
    .optional(),
})

/** Ids with score and grade, in the order of the answer. */
function matches(answer: Answer) {
  expect(answer.status, answer.text).toBe(200)
  expect(validateResource(answer.json)).toEqual([])
  return (Scored.parse(answer.json).entry ?? []).flatMap(({ fullUrl, resource: one, search }) => {
    if (search.mode !== 'match') return []
    expect(fullUrl).toBe(`${BASE}/Patient/${one.id}`)
    expect(search.extension?.map(({ url }) => url)).toEqual([MATCH_GRADE])
    return [{ id: one.id, score: search.score, grade: search.extension?.[0]?.valueCode }]
  })
}
const ids = (answer: Answer) => matches(answer).map(({ id }) => id)

describe('staff', () => {
  test('find the copies of every partner and their own, best first, with score and grade', async () => {
    const { staff, partner, other } = await service.clinic()
    const same = await kept(partner, child())
    const misspelt = await kept(
      other,
      child({ name: [{ family: 'Quillfeather', given: ['Marhta'] }] }),
    )
    const own = await kept(staff, child({ name: [{ family: 'Quillfeather', given: ['Otto'] }] }))
    await kept(
      other,
      child({ name: [{ family: 'Zz', given: ['Yx'] }], birthDate: '2019-12-31', gender: 'male' }),
    )

    const found = matches(await ask(staff, parameters(child())))

    expect(found).toEqual([
      { id: same, score: 1, grade: 'certain' },
      { id: misspelt, score: 0.98, grade: 'probable' },
      { id: own, score: 0.89, grade: 'possible' },
    ])
  })

  test('find a child by an identifier alone, also with the signs of a search in it', async () => {
    const identifier = [{ system: 'https://practice.example/ids', value: 'a,b|c$d\\e' }]
    const id = await kept(clinic.partner, child({ identifier }))

    const answer = await ask(clinic.staff, parameters({ resourceType: 'Patient', identifier }))

    expect(matches(answer)).toEqual([{ id, score: 1, grade: 'certain' }])
  })

  test('find a name written with accents, capitals and hyphens', async () => {
    const { staff, partner } = await service.clinic()
    const id = await kept(
      partner,
      child({ name: [{ family: 'Ødegård-Ünal', given: ['Zoë Ana'] }] }),
    )

    const asked = child({ name: [{ family: 'ødegård ünal', given: ['ZOE-ANA'] }] })

    expect(matches(await ask(staff, parameters(asked)))).toEqual([
      { id, score: 1, grade: 'certain' },
    ])
  })

  test('find nobody of another clinic', async () => {
    await kept((await service.clinic()).partner, child())
    const { staff } = await service.clinic()

    const answer = await ask(staff, parameters(child()))

    expect(Scored.parse(answer.json)).toEqual({
      resourceType: 'Bundle',
      type: 'searchset',
      total: 0,
    })
  })

  test('get no more than count, with the total of all', async () => {
    const { staff, partner } = await service.clinic()
    for (let index = 0; index < 3; index += 1) await kept(partner, child())

    const answer = await ask(staff, parameters(child(), [{ name: 'count', valueInteger: 2 }]))

    expect(matches(answer)).toHaveLength(2)
    expect(Scored.parse(answer.json).total).toBe(3)
  })

  test('may send the Patient itself, and the rest in the address', async () => {
    const { staff, partner } = await service.clinic()
    await kept(partner, child())
    const id = await kept(partner, child({ telecom: [{ system: 'phone', value: '907 555 0100' }] }))

    const answer = await ask(staff, child(), '?count=1')

    expect(ids(answer)).toHaveLength(1)
    expect(ids(await ask(staff, child()))).toContain(id)
  })

  test('find no Patient that was deleted', async () => {
    const { staff, partner } = await service.clinic()
    const id = await kept(partner, child())
    await service.send(partner, { method: 'DELETE', url: `/fhir/Patient/${id}` })

    expect(ids(await ask(staff, parameters(child())))).toEqual([])
  })

  test('learn that more were alike than were compared', async () => {
    const { staff, partner } = await service.clinic()
    const entry = Array.from({ length: 201 }, () => ({
      resource: { resourceType: 'Patient', ...identified(), birthDate: '2024-03-05' },
      request: { method: 'POST', url: 'Patient' },
    }))
    const body = { resourceType: 'Bundle', type: 'transaction', entry }
    const sent = await service.send(partner, { method: 'POST', url: '/fhir', body })
    expect(sent.status, sent.text).toBe(200)

    const answer = await ask(staff, parameters(child()))
    const remark = entries(answer).find(({ search }) => search?.mode === 'outcome')

    expect(matches(answer)).toEqual([])
    expect(JSON.stringify(remark?.resource)).toContain('match-cut')
  })
})

describe('onlyCertainMatches', () => {
  const certain = [{ name: 'onlyCertainMatches', valueBoolean: true }]

  test('returns the one Patient that matches with certainty, without those that are less', async () => {
    const { staff, partner, other } = await service.clinic()
    const id = await kept(partner, child())
    await kept(other, child({ name: [{ family: 'Quillfeather', given: ['Marhta'] }] }))

    expect(ids(await ask(staff, parameters(child(), certain)))).toEqual([id])
  })

  test('returns none of several, and says so', async () => {
    const { staff, partner, other } = await service.clinic()
    await kept(partner, child())
    await kept(other, child())

    const answer = await ask(staff, parameters(child(), certain))
    const outcome = entries(answer).find(({ search }) => search?.mode === 'outcome')?.resource

    expect(ids(answer)).toEqual([])
    expect(outcome).toMatchObject({
      resourceType: 'OperationOutcome',
      issue: [{ severity: 'information', code: 'multiple-matches' }],
    })
  })

  test('returns the one of several that staff linked to all others', async () => {
    const { staff, partner, other } = await service.clinic()
    const copies = [await kept(partner, child()), await kept(other, child())]
    const link = copies.map((id) => ({ other: { reference: `Patient/${id}` }, type: 'seealso' }))
    const main = await kept(staff, child({ link }))

    expect(ids(await ask(staff, parameters(child(), certain)))).toEqual([main])
  })

  test('returns an empty set when nobody is certain', async () => {
    const { staff, partner } = await service.clinic()
    await kept(partner, child())

    const answer = await ask(staff, parameters(child({ birthDate: '2024-03' }), certain))

    expect([ids(answer), entries(answer)]).toEqual([[], []])
  })
})

describe('a partner', () => {
  test('is told that staff ask so, 403, whether the child is its own, another or nobody', async () => {
    await kept(clinic.partner, child())

    const own = await ask(clinic.partner, parameters(child()))
    const nobody = await ask(clinic.partner, parameters(child({ birthDate: '2021-01-01' })))

    expect(own.status).toBe(403)
    expect(issues(own)[0]?.details.coding?.[0]?.code).toBe('staff-only')
    expect([nobody.status, nobody.text]).toEqual([own.status, own.text])
  })

  test('learns nothing from what it sends being wrong', async () => {
    const right = await ask(clinic.partner, parameters(child()))
    const wrong = await ask(clinic.partner, { resourceType: 'Parameters' })

    expect([wrong.status, wrong.text]).toEqual([right.status, right.text])
  })
})

describe('what is refused', () => {
  test('without a token', async () => {
    expect((await ask(undefined, parameters(child()))).status).toBe(401)
  })

  test('without the right to search Patients', async () => {
    const { staff } = clinic
    const narrow = await service.who({
      clinicId: staff.clinicId,
      clientId: 'narrow',
      scope: 'system/Patient.r',
    })

    expect((await ask(narrow, parameters(child()))).status).toBe(403)
  })

  test.each([
    ['no Patient', { resourceType: 'Parameters' }, "parameter.where(name='resource').resource"],
    [
      'a resource of another type',
      parameters({ resourceType: 'Organization', name: 'An invented practice' }),
      "parameter.where(name='resource').resource",
    ],
    [
      'a count of none',
      parameters({ resourceType: 'Patient' }, [{ name: 'count', valueInteger: 0 }]),
      "parameter.where(name='count').value",
    ],
    [
      'a count as text',
      parameters({ resourceType: 'Patient' }, [{ name: 'count', valueString: '2' }]),
      "parameter.where(name='count').value",
    ],
    [
      'a truth as text',
      parameters({ resourceType: 'Patient' }, [
        { name: 'onlyCertainMatches', valueString: 'true' },
      ]),
      "parameter.where(name='onlyCertainMatches').value",
    ],
    [
      'two Patients',
      parameters({ resourceType: 'Patient' }, [
        { name: 'resource', resource: { resourceType: 'Patient' } },
      ]),
      "parameter.where(name='resource')",
    ],
  ])('%s: 400, with its place', async (_what, body, place) => {
    const answer = await ask(clinic.staff, body)

    expect(answer.status, answer.text).toBe(400)
    expect(expressions(answer)).toEqual([`Parameters.${place}`])
  })

  test('a Patient that is not valid R4: 422, with its place', async () => {
    const answer = await ask(clinic.staff, parameters(child({ gender: 'girl' })))

    expect(answer.status).toBe(422)
    expect(expressions(answer)).toEqual([
      "Parameters.parameter.where(name='resource').resource.gender",
    ])
    expect(issues(answer)[0]?.code).toBe('code-invalid')
  })
})

test('what is asked and found is recorded, with the children that were shown', async () => {
  const { staff, partner } = await service.clinic()
  const parts = smallReferral({ key: 'match-audit' })
  const patient = parts.get('patient')?.resource ?? {}
  const id = keptAs(await service.refer(partner, parts), parts, 'patient')

  const found = await ask(staff, parameters(patient))
  const audit = await service.send(staff, {
    url: `/fhir/AuditEvent?patient=${id}&subtype=match`,
  })

  expect(matches(found).map((one) => `Patient/${one.id}`)).toEqual([id])
  expect(entries(audit)).toHaveLength(1)
})
