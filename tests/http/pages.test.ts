import { beforeAll, describe, expect, test } from 'vitest'
import { z } from 'zod'
import { changed, coded, referralParts, smallReferral } from '../helpers/referral.ts'
import { resource, resources, type TestService, testService, type Who } from '../helpers/service.ts'
import { type Browser, browser, enter } from '../helpers/staff-pages.ts'

// What the staff of a clinic sees on its pages: what the API answers them, and no more.

let service: TestService
let staff: Who
let partner: Who
let one: Browser

beforeAll(async () => {
  service = await testService()
  ;({ staff, partner } = await service.clinic())
  await service.refer(partner, referralParts({ key: 'first' }))
  one = await browser(service, { clinicId: staff.clinicId })
  await enter(one)
  return service.close
}, 60_000)

const Told = z.object({
  statusReason: z.object({ text: z.string() }),
  restriction: z.object({ period: z.object({ end: z.string() }) }),
})
const Named = z.object({
  id: z.string(),
  name: z.array(
    z.object({ given: z.array(z.string()).default([]), family: z.string().optional() }),
  ),
})
const Valued = z.object({ valueCodeableConcept: z.object({ text: z.string() }) })

const childOf = async (who: Who): Promise<{ readonly id: string; readonly name: string }> => {
  const [child = {}] = resources(await service.send(who, { url: '/fhir/Patient?_count=1' }))
  const { id, name } = Named.parse(child)
  const [first] = name
  return { id, name: [...(first?.given ?? []), first?.family].join(' ') }
}

describe('the worklist', () => {
  test('names the child, where the referral stands, why, and by when it is to be seen', async () => {
    const { id, name } = await childOf(staff)
    const [task = {}] = resources(await service.send(staff, { url: '/fhir/Task?_count=1' }))
    const { text } = await one.get('/')

    expect(text).toContain(`<a href="/children/${id}">${name}</a>`)
    const { statusReason, restriction } = Told.parse(task)
    expect(text).toContain(statusReason.text)
    expect(text).toContain(restriction.period.end)
  })

  test('shows one state when asked for one, and says when there is nothing', async () => {
    const scheduled = await one.get('/?state=scheduled')
    const unknown = await one.get('/?state=nonsense')

    expect(scheduled.text).toContain('There is no referral here.')
    expect(scheduled.text).toContain('<option value="scheduled" selected>')
    expect(unknown.status).toBe(200)
  })

  test('shows what is overdue once its day has passed', async () => {
    const { name } = await childOf(staff)
    expect((await one.get('/?overdue=yes')).text).not.toContain(name)

    const later = await testService()
    const clinic = await later.clinic()
    await later.refer(clinic.partner, smallReferral({ key: 'late' }))
    later.clock.advance(400 * 86_400_000)
    const reader = await browser(later, { clinicId: clinic.staff.clinicId })
    await enter(reader)
    const { text } = await reader.get('/?overdue=yes')
    await later.close()

    expect(text).toContain('<strong>overdue</strong>')
  }, 60_000)
})

// Common practice, no source: what cannot wait is read first.
test('a device that must come off stands before the referrals, with the reason and the day', async () => {
  const clinic = await service.clinic()
  const parts = referralParts({ key: 'comes-off' })
  await service.refer(clinic.partner, parts)
  const { id, name } = await childOf(clinic.staff)
  const sign = {
    resourceType: 'Observation',
    status: 'final',
    code: coded('observation', 'worn-broken-skin'),
    subject: { reference: `Patient/${id}` },
    effectiveDateTime: '2026-03-01',
    bodySite: coded('side', 'left-foot'),
    valueBoolean: true,
  }
  const sent = await service.send(clinic.partner, {
    method: 'POST',
    url: '/fhir/Observation',
    body: sign,
  })
  const reader = await browser(service, { clinicId: clinic.staff.clinicId })
  await enter(reader)

  const { text } = await reader.get('/')

  expect(sent.status, sent.text).toBe(201)
  const [, atOnce = '', rest = ''] =
    /<caption>At once<\/caption>(.*?)<\/table>(.*)/s.exec(text) ?? []
  expect(atOnce).toContain(name)
  expect(atOnce).toContain('A worn device must come off')
  expect(atOnce).toMatch(/data-label="By"><time datetime="2026-03-/)
  expect(rest).toContain('Referrals, the most urgent first')
  expect(rest).not.toContain('A worn device must come off')
}, 60_000)

describe('the page of a child', () => {
  test('has the findings with their reasons, the pictures and the plan of the API', async () => {
    const { id, name } = await childOf(staff)
    const page = await one.get(`/children/${id}`)
    const suitability = resources(
      await service.send(staff, { url: '/fhir/Observation?code=orthosis-suitability' }),
    )
    const reason = Valued.parse(suitability[0]).valueCodeableConcept.text

    expect(page.status).toBe(200)
    expect(page.text).toContain(`<h1>${name}</h1>`)
    expect(page.text).toContain(reason.slice(0, 40))
    expect(page.text).toContain('<svg')
    expect(page.text).toContain('Fitting plan')
    expect(page.text).toContain('not a diagnosis')
  })

  test('names what each value is of, and says ranges, days and whether a criterion holds', async () => {
    const clinic = await service.clinic()
    await service.refer(clinic.partner, referralParts({ key: 'values' }))
    const reader = await browser(service, { clinicId: clinic.staff.clinicId })
    await enter(reader)
    const { id } = await childOf(clinic.staff)
    const { text } = await reader.get(`/children/${id}`)

    expect(text).toMatch(/<h3>Milestone percentile, Walks alone<\/h3>: [\d.]+ to [\d.]+ %/)
    expect(text).toMatch(/<h3>Device size, Left[^<]*<\/h3>/)
    expect(text).toMatch(/<dt>To be seen by<\/dt><dd>\d{4}-\d\d-\d\d<\/dd>/)
    expect(text).toMatch(/<dt>Urgency, possible range<\/dt><dd>[\d.]+/)
    expect(text).toMatch(/<dt>bears weight<\/dt><dd>Yes\. Bears weight:/)
    expect(text).toContain('>Referral for orthotic assessment</a>')
    expect(text).not.toMatch(/<dd><\/dd>/)
  }, 60_000)

  // UCUM: the unit of a number alone is 1, which nobody says.
  test('says a pace as a number, and nothing behind it', async () => {
    const clinic = await service.clinic()
    const parts = referralParts({ key: 'pace' })
    const not = { valueBoolean: false, component: undefined }
    await service.refer(clinic.partner, changed(parts, 'walking-alone', not))
    const reader = await browser(service, { clinicId: clinic.staff.clinicId })
    await enter(reader)
    const { id } = await childOf(clinic.staff)
    const { text } = await reader.get(`/children/${id}`)

    expect(/<h3>Tempo of gross motor development<\/h3>: (.*?)<\/summary>/.exec(text)?.[1]).toMatch(
      /^0\.\d+$/,
    )
  }, 60_000)

  test('that there is not, or of another clinic, is not found; the words are the API’s', async () => {
    const elsewhere = await service.clinic()
    await service.refer(elsewhere.partner, smallReferral({ key: 'elsewhere' }))
    const { id } = await childOf(elsewhere.staff)
    const foreign = await one.get(`/children/${id}`)
    const nobody = await one.get('/children/nobody')

    expect([foreign.status, nobody.status]).toEqual([404, 404])
    expect(foreign.text.replaceAll(/<time.*?<\/time>/g, '')).toBe(
      nobody.text.replaceAll(/<time.*?<\/time>/g, ''),
    )
  })

  test('takes a name for a text, whatever it says', async () => {
    const clinic = await service.clinic()
    const parts = new Map(smallReferral({ key: 'hostile' }))
    const patient = parts.get('patient')
    if (patient === undefined) throw new Error('There is no patient')
    const name = [{ text: '<img src=x onerror=alert(1)>' }]
    parts.set('patient', { ...patient, resource: { ...patient.resource, name } })
    await service.refer(clinic.partner, parts)
    const reader = await browser(service, { clinicId: clinic.staff.clinicId })
    await enter(reader)
    const { id } = await childOf(clinic.staff)

    for (const url of ['/', `/children/${id}`]) {
      const { text, headers } = await reader.get(url)
      expect(text).not.toContain('<img')
      expect(text).toContain('&#60;img')
      expect(String(headers['content-security-policy'])).toContain("default-src 'none'")
      expect(headers['cache-control']).toBe('no-store')
    }
  })
})

describe('the search of the audit', () => {
  test('finds who looked at a child, itself included', async () => {
    const { id } = await childOf(staff)
    await one.get(`/children/${id}`)
    const { text } = await one.get(`/audit?ask=yes&patient=${id}`)

    expect(text).toContain(one.clientId)
    expect(text).toContain(`/children/${id}`)
    const events = resources(
      await service.send(staff, { url: `/fhir/AuditEvent?altid=${one.clientId}&_count=100` }),
    )
    expect(JSON.stringify(events)).toContain(`Patient/${id}`)
  })

  test('keeps the long list of what a transaction wrote folded', async () => {
    await service.refer(partner, referralParts({ key: 'folded' }))
    const { text } = await one.get('/audit?ask=yes')

    expect(text).toMatch(/<details><summary>\d+ more<\/summary>/)
  })

  test('narrows to a day, an action, a system and what was refused', async () => {
    const nothing = await one.get('/audit?ask=yes&from=2030-01-01')
    const reads = await one.get('/audit?ask=yes&action=R&from=2026-03-01&to=2026-03-03')
    const refused = await one.get('/audit?ask=yes&refused=yes&who=nobody')

    expect(nothing.text).toContain('Nothing of this kind is in the log.')
    expect(reads.text).toContain('What was found')
    expect(refused.text).toContain('Nothing of this kind is in the log.')
  })

  test('leads to the next page when there is one', async () => {
    for (let call = 0; call < 60; call += 1) await service.send(staff, { url: '/fhir/Goal' })
    const first = await one.get('/audit?ask=yes')
    const next = /<a href="([^"]+)" rel="next">/.exec(first.text)?.[1]?.replaceAll('&amp;', '&')
    const second = await one.get(next?.replaceAll('&#61;', '=') ?? '')

    expect(second.status).toBe(200)
    expect(second.text).toContain('What was found')
    expect(second.text).not.toBe(first.text)
  })

  test('of a day that is none says so in the API’s words', async () => {
    const answer = await one.get('/audit?ask=yes&from=yesterday')
    const said = await service.send(staff, { url: '/fhir/AuditEvent?date=geyesterday' })
    const [issue] = resource(said)['issue'] as { details: { text: string } }[]

    expect(answer.status).toBe(400)
    expect(answer.text).toContain(issue?.details.text.replaceAll("'", '&#39;').slice(0, 30) ?? 'x')
  })
})

test('an account shows what its scope allows, and says what it does not', async () => {
  const narrow = await browser(service, {
    clinicId: staff.clinicId,
    scope: 'system/Task.rs system/Patient.rs',
  })
  await enter(narrow)
  const worklist = await narrow.get('/')
  const audit = await narrow.get('/audit?ask=yes')

  expect([worklist.status, audit.status]).toEqual([200, 403])
  expect(audit.text).toContain('The scope system/AuditEvent.s is needed.')
})

test('the sheet and the mark are open to everybody and may be kept', async () => {
  const sheet = await service.send(undefined, { url: '/pages.css' })
  const mark = await service.send(undefined, { url: '/pages.svg' })

  expect([sheet.status, mark.status]).toEqual([200, 200])
  expect(String(sheet.headers['content-type'])).toContain('text/css')
  expect(String(sheet.headers['cache-control'])).toContain('public')
})
