import { beforeAll, expect, test } from 'vitest'
import { settleRegimes } from '../../src/services/partner-regimes.ts'
import { consentedReferral, withoutConsent } from '../helpers/consent-resources.ts'
import {
  expressions,
  issues,
  keptAs,
  type RegisteredRegime,
  type TestService,
  testService,
  type Who,
} from '../helpers/service.ts'

// Another law of a partner is another decision about every record that is open to it: under HIPAA a record is open
// without a consent, under IDEA Part C it is not.

let service: TestService
let sent = 0

beforeAll(async () => {
  service = await testService()
  return service.close
})

interface Sent {
  readonly partner: Who
  readonly other: Who
  readonly admin: Who
  readonly patient: string
}

async function sentUnder(regime: RegisteredRegime): Promise<Sent> {
  const { staff, partner, other } = await service.clinic(regime)
  const whole = consentedReferral(`regime${(sent += 1)}`, partner.clinicId, {})
  const parts = regime === 'hipaa' ? withoutConsent(whole) : whole
  const patient = keptAs(await service.refer(partner, parts), parts, 'patient')
  const { clinicId } = staff
  const admin = await service.who({
    clinicId,
    clientId: `admin${sent}`,
    scope: 'system/*.rs admin',
  })
  return { partner, other, admin, patient }
}

const change = ({ partner, admin }: Sent, body: unknown, who = admin) =>
  service.send(who, { method: 'PUT', url: `/admin/partners/${partner.partnerId}`, body })
const reads = async ({ partner, patient }: Sent) =>
  (await service.send(partner, { url: `/fhir/${patient}` })).status

test('under a law that asks for a consent the records without one are closed, and open again after', async () => {
  const child = await sentUnder('hipaa')
  expect(await reads(child)).toBe(200)

  const strict = await change(child, { regime: 'part-c' })
  expect([strict.status, strict.json]).toEqual([
    200,
    {
      partnerId: child.partner.partnerId,
      name: 'An invented partner',
      regime: 'part-c',
    },
  ])
  expect(await reads(child)).toBe(404)

  await change(child, { regime: 'hipaa' })
  expect(await reads(child)).toBe(200)
})

test('what is closed is about the partner alone whose law it is', async () => {
  const child = await sentUnder('hipaa')
  const { admin, other } = child
  const parts = withoutConsent(consentedReferral(`other${sent}`, other.clinicId, {}))
  const patient = keptAs(await service.refer(other, parts), parts, 'patient')

  await change(child, { regime: 'ferpa' })

  expect((await service.send(other, { url: `/fhir/${patient}` })).status).toBe(200)
  expect((await service.send(admin, { url: `/fhir/${patient}` })).status).toBe(200)
})

test('a law that was changed without the service is followed at its next start', async () => {
  const child = await sentUnder('hipaa')
  const { partner } = child
  await service.sql(`update partners set regime = 'part-c' where partner_id = $1`, [
    partner.partnerId,
  ])

  const first = await settleRegimes(service.service.context)
  const again = await settleRegimes(service.service.context)

  expect(first).toBeGreaterThan(0)
  expect(again).toBe(0)
  expect(await reads(child)).toBe(404)
})

test('the change is in the log, as one of the partner', async () => {
  const child = await sentUnder('hipaa')
  await change(child, { regime: 'ferpa' })

  const [row] = await service.sql<{ found: string }>(
    `select count(*) as found from audit_log where clinic_id = $1 and record::text like '%' || $2 || '%'`,
    [child.partner.clinicId, `Organization/${child.partner.partnerId}`],
  )
  expect(Number(row?.found)).toBeGreaterThan(0)
})

test('partners and their laws are listed for an administrator of the clinic', async () => {
  const child = await sentUnder('part-c')
  const answer = await service.send(child.admin, { url: '/admin/partners' })

  expect(answer.status).toBe(200)
  expect(answer.json).toMatchObject({ partners: [{ regime: 'part-c' }, { regime: 'part-c' }] })
})

test.each([[{}], [{ regime: 'other' }], [{ regime: 'hipaa', more: 1 }], [[]]])(
  '%j is no law: 400',
  async (body) => {
    const answer = await change(await sentUnder('hipaa'), body)

    expect([answer.status, expressions(answer)]).toEqual([400, ['regime']])
  },
)

test('nobody else changes it: no partner, no staff without the scope, nobody of another clinic', async () => {
  const child = await sentUnder('hipaa')
  const stranger = await sentUnder('hipaa')
  const staff = await service.who({
    clinicId: child.partner.clinicId,
    clientId: 'no-admin',
    scope: 'system/*.cruds',
  })
  const asked = { regime: 'ferpa' }

  expect((await change(child, asked, child.partner)).status).toBe(403)
  expect((await change(child, asked, staff)).status).toBe(403)
  const foreign = await change(child, asked, stranger.admin)
  expect([foreign.status, issues(foreign)[0]?.code]).toEqual([404, 'not-found'])
  expect(await reads(child)).toBe(200)
})
