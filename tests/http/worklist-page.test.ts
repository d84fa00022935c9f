import { beforeAll, describe, expect, test } from 'vitest'
import { changed, type Json, type Parts, smallReferral } from '../helpers/referral.ts'
import { changeOf, reason, TO, type UnderWay } from '../helpers/referrals-under-way.ts'
import { keptAs, type TestService, testService, type Who } from '../helpers/service.ts'
import { type Browser, browser, enter } from '../helpers/staff-pages.ts'

// The worklist as a page: since when, why, and from whom. HTML 4.10.7 (select) and WCAG 2.2, 3.3.2 (labels): what a
// form asks works without a script and is called by its label.

let service: TestService
let staff: Who
let partner: Who
let other: Who
let one: Browser

const MINUTE = 60_000

beforeAll(async () => {
  service = await testService()
  ;({ staff, partner, other } = await service.clinic())
  one = await browser(service, { clinicId: staff.clinicId })
  await enter(one)
  return service.close
}, 60_000)

const NAMES = { here: 'Invented Aspen', elsewhere: 'Invented Birch' } as const

/** A referral of a child of this name, written by its sender on Christmas Eve. */
async function sent(who: Who, key: string, name: string): Promise<UnderWay> {
  const parts: Parts = changed(
    changed(smallReferral({ key }), 'patient', { name: [{ text: name }] }),
    'task',
    { authoredOn: '2025-12-24' },
  )
  const answer = await service.refer(who, parts)
  const place = (part: string) => keptAs(answer, parts, part)
  return { task: place('task'), request: place('referral'), patient: place('patient') }
}

/** What the row of a child says, by the heads of the columns. */
async function rowOf(name: string, url = '/'): Promise<Readonly<Record<string, string>>> {
  const { text } = await one.get(url)
  const row = text.split('<tr>').find((part) => part.includes(name)) ?? ''
  return Object.fromEntries(
    [...row.matchAll(/<td data-label="([^"]+)">(.*?)<\/td>/gs)].map(([, head = '', cell = '']) => [
      head,
      cell.replaceAll(/<[^>]*>/g, '').trim(),
    ]),
  )
}

async function change(who: Who, place: string, to: Json): Promise<void> {
  service.clock.advance(MINUTE)
  const answer = await changeOf(service, who, place, to)
  expect(answer.status, answer.text).toBe(200)
}

describe('a row', () => {
  test('says when the exchange received the referral and since when it is in its state', async () => {
    const referral = await sent(partner, 'times', 'Invented Alder')
    const received = await rowOf('Invented Alder')
    await change(staff, referral.task, TO['received'] ?? {})
    await change(staff, referral.task, { ...TO['accepted'], note: [{ text: 'By phone.' }] })
    const accepted = await rowOf('Invented Alder')

    expect(received).toMatchObject({
      Since: '2026-03-02 09:00 UTC',
      Received: '2026-03-02 09:00 UTC',
    })
    expect(accepted).toMatchObject({
      State: 'Accepted',
      Since: '2026-03-02 09:02 UTC',
      Received: '2026-03-02 09:00 UTC',
    })
  })

  test('says why it is on hold, and no longer when the hold has ended', async () => {
    const referral = await sent(partner, 'hold', 'Invented Hazel')
    for (const step of ['received', 'accepted', 'scheduled', 'hold'])
      await change(staff, referral.task, TO[step] ?? {})
    const held = await rowOf('Invented Hazel')
    await change(staff, referral.task, TO['scheduled'] ?? {})
    const ended = await rowOf('Invented Hazel')

    expect(held).toMatchObject({ State: 'On hold', Why: 'The child is ill.' })
    expect(ended).toMatchObject({ State: 'Visit scheduled', Why: '' })
  })

  test.each([
    ['the Task', 'Invented Willow'],
    ['the request', 'Invented Rowan'],
  ])(
    'says why a cancellation is requested, in the words of who asks by %s',
    async (focus, name) => {
      const { task, request, patient } = await sent(partner, `abort by ${focus}`, name)
      for (const step of ['received', 'accepted', 'scheduled'])
        await change(staff, task, TO[step] ?? {})
      await change(staff, task, { ...TO['missed'], ...reason('Nobody came.') })
      const before = await rowOf(name)
      const asked = await service.send(partner, {
        method: 'POST',
        url: '/fhir/Task',
        body: {
          resourceType: 'Task',
          status: 'requested',
          intent: 'order',
          code: { coding: [{ system: 'http://hl7.org/fhir/CodeSystem/task-code', code: 'abort' }] },
          focus: { reference: focus === 'the Task' ? task : request },
          basedOn: [{ reference: request }],
          for: { reference: patient },
          reasonCode: { text: 'The family moved away (invented).' },
        },
      })
      expect(asked.status, asked.text).toBe(201)
      const after = await rowOf(name)
      const { text } = await one.get('/')

      expect(before).toMatchObject({ Why: 'Nobody came.' })
      expect(after).toMatchObject({
        State: 'Cancellation requested',
        Why: 'The family moved away (invented).',
      })
      // The request is no row of its own.
      expect(text.split(name)).toHaveLength(2)
      const child = (await one.get(`/children/${patient.split('/')[1]}`)).text
      expect(
        child.match(/<td data-label="Why">The family moved away \(invented\)\.<\/td>/g),
      ).toHaveLength(2)
      expect(child).not.toContain('Nobody came.')
      expect(child).not.toContain('2025-12-24')
    },
  )
})

describe('narrowed to a partner', () => {
  const options = (text: string): readonly string[] =>
    [...text.matchAll(/<option value="([^"]*)"[^>]*>/g)].map(([, value = '']) => value)

  test('a labelled select names the partners; chosen, it shows their referrals alone', async () => {
    await sent(partner, 'here', NAMES.here)
    await sent(other, 'elsewhere', NAMES.elsewhere)
    const whole = (await one.get('/')).text
    const narrowed = (await one.get(`/?state=&partner=${partner.partnerId}`)).text

    expect(whole).toContain(
      '<label for="partner">From</label> <select id="partner" name="partner">',
    )
    expect(options(whole)).toEqual(
      expect.arrayContaining([partner.partnerId ?? '', other.partnerId ?? '']),
    )
    expect(whole).toContain(NAMES.here)
    expect(whole).toContain(NAMES.elsewhere)
    expect(narrowed).toContain(NAMES.here)
    expect(narrowed).not.toContain(NAMES.elsewhere)
    expect(narrowed).toContain(`<option value="${partner.partnerId}" selected>`)
    expect(narrowed).not.toContain('<script')
  })

  test('with a state too, and one that there is not shows all', async () => {
    const none = await one.get(`/?state=scheduled&partner=${other.partnerId}`)
    const unknown = await one.get('/?partner=nobody')

    expect(none.text).toContain('There is no referral here.')
    expect(unknown.text).toContain(NAMES.here)
    expect(unknown.text).toContain(NAMES.elsewhere)
  })

  test('the next page is narrowed too, and its form says so', async () => {
    for (let child = 0; child < 26; child += 1) await sent(other, `many${child}`, `Child ${child}`)
    const first = (await one.get(`/?partner=${other.partnerId}`)).text
    const link = /<a href="([^"]+)" rel="next">/.exec(first)?.[1] ?? ''
    const url = link.replaceAll('&amp;', '&').replaceAll('&#38;', '&').replaceAll('&#61;', '=')
    const second = await one.get(url)

    expect(second.status).toBe(200)
    expect(second.text).toContain(`<option value="${other.partnerId}" selected>`)
    expect(second.text).toMatch(/<th scope="row">/)
    expect(second.text).not.toContain(NAMES.here)
  }, 60_000)
})
