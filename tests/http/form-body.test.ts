import { beforeAll, expect, test } from 'vitest'
import { expressions, issues, type TestService, testService, type Who } from '../helpers/service.ts'

// A search that is posted: its form is read once, and what cannot be read is the sender's to mend.

let service: TestService
let partner: Who

beforeAll(async () => {
  service = await testService()
  ;({ partner } = await service.clinic())
  return service.close
})

const FORM = { 'content-type': 'application/x-www-form-urlencoded' }
const post = (body: string | Buffer, headers: Record<string, string> = FORM) =>
  service.send(partner, { method: 'POST', url: '/fhir/Patient/_search', headers, body })
const lastQuery = async (): Promise<string> => {
  const [row] = await service.sql<{ record: string }>(
    `select record from audit_log where clinic_id = $1 order by recorded desc, sequence desc limit 1`,
    [partner.clinicId],
  )
  const query = /"query":"([^"]*)"/.exec(row?.record ?? '')?.[1] ?? ''
  return Buffer.from(query, 'base64').toString('utf8')
}

test.each<[string, string | Buffer]>([
  ['with a percent sign alone', 'family=100%'],
  ['with a percent sign before other letters', 'family=%zz'],
  ['that ends in the midst of a byte', 'family=%4'],
  ['of bytes that are no UTF-8', Buffer.from([0x66, 0x3d, 0xff, 0xfe])],
  ['of encoded bytes that are no UTF-8', 'family=%ff%fe'],
  ['of half a letter', 'family=%c3'],
])('a form %s is refused with 400, never with 503', async (_title, body) => {
  const answer = await post(body)

  expect([answer.status, issues(answer)[0]?.code, expressions(answer)]).toEqual([
    400,
    'structure',
    ['http.body'],
  ])
})

test('a letter that is partly encoded, and one that is not, are read', async () => {
  const answer = await post('family=M%C3%BCsterk%69nd&given=Zoë')

  expect(answer.status).toBe(200)
  expect(await lastQuery()).toContain('family=M%C3%BCsterkind')
})

test('_pretty in a form lays the answer out, as in an address (R4 3.1.0.1.11, 3.1.1.2)', async () => {
  const inForm = await post('_pretty=true&_count=1')
  const inAddress = await service.send(partner, { url: '/fhir/Patient?_pretty=true&_count=1' })

  expect(inForm.text).toContain('\n')
  expect(inForm.text.split('\n')[1]).toBe(inAddress.text.split('\n')[1])
  expect((await post('_count=1')).text).not.toContain('\n')
})

test('a form without a content type is in the log as any other', async () => {
  const answer = await post('family=Nobody', { 'content-type': '' })

  expect([200, 400, 415]).toContain(answer.status)
  if (answer.status === 200) expect(await lastQuery()).toContain('family=Nobody')
})
