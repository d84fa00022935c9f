import { beforeAll, beforeEach, describe, expect, test } from 'vitest'
import { z } from 'zod'
import { openService } from '../../src/service.ts'
import { validateResource } from '../../src/fhir/validate.ts'
import { remind } from '../../src/services/referral-reminders.ts'
import { type Json, observed, referralParts, smallReferral } from '../helpers/referral.ts'
import { changeOf, TO, type UnderWay, underWay } from '../helpers/referrals-under-way.ts'
import {
  keptAs,
  ORIGIN,
  resource,
  resources,
  START,
  type TestService,
  testService,
  type Who,
} from '../helpers/service.ts'

// Timers of a referral: what has not happened in time comes onto the worklist of the clinic, once.

const DAY_MS = 86_400_000

let service: TestService
let staff: Who
let partner: Who
let referral: UnderWay

beforeAll(async () => {
  service = await testService()
  return service.close
})

beforeEach(async () => {
  service.clock.set(START)
  ;({ staff, partner } = await service.clinic())
  referral = await underWay(service, partner, 'r')
})

const Reminder = z.looseObject({
  id: z.string(),
  status: z.string(),
  meta: z.looseObject({ versionId: z.string() }),
  reasonCode: z.object({ coding: z.tuple([z.object({ code: z.string() })]) }),
  restriction: z.object({ period: z.object({ end: z.string() }) }),
})
const Urgent = z.looseObject({ extension: z.array(z.looseObject({ url: z.string() })) })
const LATER = (days: number) => new Date(Date.parse(START) + days * DAY_MS).toISOString()
const dayAfter = (days: number) => LATER(days).slice(0, 10)

/** Days after the start a round is made; tokens of before have run out by then. */
async function roundOn(days: number): Promise<void> {
  service.clock.set(LATER(days))
  await remind(service.service.context, staff.clinicId)
}
async function signedIn(who: Who): Promise<Who> {
  const { clinicId, partnerId } = who
  return service.who({ clinicId, ...(partnerId === undefined ? {} : { partnerId }) })
}
const search = async (query: string, who = staff) =>
  resources(await service.send(await signedIn(who), { url: `/fhir/Task?${query}` }))
const found = async (query: string) =>
  resources(await service.send(await signedIn(staff), { url: `/fhir/${query}` }))
const reminders = async (query = '') =>
  (await search(`code=reminder&_sort=due${query}`)).map((one) => Reminder.parse(one))
const firstId = async (): Promise<string> => {
  const [first] = await reminders()
  if (first === undefined) throw new Error('There is no reminder')
  return first.id
}
const shown = async (query = '') =>
  (await reminders(query)).map(({ reasonCode, status, meta, restriction }) =>
    [reasonCode.coding[0].code, status, restriction.period.end, `v${meta.versionId}`].join(' '),
  )
/** A referral of which nothing is missing: the computation decides, and the clinic has to. */
async function complete(key: string): Promise<UnderWay> {
  const parts = referralParts({ key })
  const answer = await service.refer(await signedIn(partner), parts)
  const place = (name: string) => keptAs(answer, parts, name)
  const made = { task: place('task'), request: place('referral'), patient: place('patient') }
  return made
}
async function step(change: Json | undefined, place = referral.task): Promise<void> {
  const answer = await changeOf(service, await signedIn(staff), place, change ?? {})
  if (answer.status !== 200) throw new Error(answer.text)
}
/** All versions of all Tasks of the clinic. */
const written = async (): Promise<number> => {
  const rows = await service.sql<{ count: string }>(
    `select count(*) from resource_versions where clinic_id = $1 and type <> 'AuditEvent'`,
    [staff.clinicId],
  )
  return Number(rows[0]?.count)
}

describe('what is raised', () => {
  test('information that was not sent, after its limit and not on its last day', async () => {
    await roundOn(7)
    expect(await shown()).toEqual([])

    await roundOn(8)
    expect(await shown()).toEqual([`information-not-sent requested ${dayAfter(7)} v1`])
  })

  test('a Task of R4 for the clinic, that says about whom, why and how urgent', async () => {
    await roundOn(8)
    const [task] = await search('code=reminder')
    const [main] = await search('code=orthotic-referral')

    expect(validateResource(task)).toEqual([])
    expect(task).toMatchObject({
      intent: 'proposal',
      priority: main?.['priority'],
      focus: { reference: referral.request },
      basedOn: [{ reference: referral.request }],
      for: { reference: referral.patient },
      owner: { identifier: { value: staff.clinicId } },
      description:
        'Information was asked for on March 2, 2026 and has not come within 7 days (March 9, 2026): call the referrer, or decide without it.',
    })
    const urgency = (of: unknown) =>
      Urgent.parse(of).extension.find(({ url }) => url.endsWith('/urgency-score'))
    expect(urgency(main)).toBeDefined()
    expect(urgency(task)).toEqual(urgency(main))
  })

  test('a visit of the accepted plan that went by without a word, also once the referral is completed', async () => {
    referral = await complete('followed')
    const accepted = await service.send(await signedIn(staff), {
      method: 'POST',
      url: `/fhir/${referral.request}/$accept-plan`,
    })
    expect(accepted.status, accepted.text).toBe(200)
    for (const to of ['received', 'accepted', 'scheduled', 'completed']) await step(TO[to])

    // The delivery is expected 28 days after the plan; the limit of 7 days is that of a missing date.
    await roundOn(35)
    expect(await shown(`&reason=overdue-visit&subject=${referral.patient}`)).toEqual([])
    await roundOn(36)
    expect(await shown(`&reason=overdue-visit&subject=${referral.patient}`)).toEqual([
      `overdue-visit requested ${dayAfter(28)} v1`,
    ])
    const [delivery] = await found(
      `ServiceRequest?subject=${referral.patient}&intent=plan&_sort=occurrence`,
    )
    await step({ ...delivery, status: 'completed' }, `ServiceRequest/${String(delivery?.['id'])}`)
    await roundOn(37)
    expect(await shown(`&reason=overdue-visit&subject=${referral.patient}`)).toEqual([
      `overdue-visit completed ${dayAfter(28)} v2`,
    ])
  })

  test('no receipt of a Task that an earlier version of the service left as it was sent', async () => {
    referral = await complete('left')
    await service.sql(
      `update resource_versions v set body = first.body from resource_versions first
        where first.type = 'Task' and first.id = $1 and first.version = 1
          and v.type = 'Task' and v.id = $1`,
      [referral.task.split('/')[1]],
    )
    await service.sql(
      `update resources r set body = v.body from resource_versions v
        where r.type = 'Task' and r.id = $1 and v.type = 'Task' and v.id = $1 and v.version = 1`,
      [referral.task.split('/')[1]],
    )

    await roundOn(1)
    expect(await shown('&reason=no-receipt')).toEqual([])
    await roundOn(2)
    expect(await shown('&reason=no-receipt')).toEqual([`no-receipt requested ${dayAfter(1)} v1`])
    await step(TO['received'])
    await roundOn(3)
    expect(await shown('&reason=no-receipt')).toEqual([`no-receipt completed ${dayAfter(1)} v2`])
  })

  test.each([
    ['no-triage', 3],
    ['no-date', 7],
  ])('%s, counted from the step and not from what came in after it', async (timer, days) => {
    referral = await complete('whole')
    const to = timer === 'no-date' ? TO['accepted'] : TO['received']
    if (timer === 'no-date') await step(to)
    service.clock.set(LATER(2))
    await step({ ...to, note: [{ text: 'The family was called (invented).' }] })

    await roundOn(days)
    expect(await shown(`&reason=${timer}`)).toEqual([])
    await roundOn(days + 1)
    expect(await shown(`&reason=${timer}`)).toEqual([`${timer} requested ${dayAfter(days)} v1`])
  })

  test('no reply after a visit, and a visit that is overdue until then', async () => {
    const { end } = Reminder.parse({
      ...(await search('code=orthotic-referral'))[0],
      reasonCode: { coding: [{ code: '' }] },
    }).restriction.period
    const until = Math.round((Date.parse(end) - Date.parse(dayAfter(0))) / DAY_MS)
    for (const to of ['received', 'accepted', 'scheduled']) await step(TO[to])
    await roundOn(until)
    expect(await shown()).not.toContainEqual(expect.stringContaining('overdue'))
    await roundOn(until + 1)
    expect(await shown()).toContainEqual(`overdue-visit requested ${end} v1`)

    await step(TO['done'])
    await roundOn(until + 9)
    expect(await shown()).toContainEqual(`overdue-visit completed ${end} v2`)
    expect(await shown()).toContainEqual(`no-reply requested ${dayAfter(until + 8)} v1`)
  })

  // 34 CFR 303.209(b): 90 days before the third birthday, here Saturday 2026-05-30; worked towards on the Friday.
  test('a date that the law sets, 14 days before', async () => {
    const parts = smallReferral({ key: 'law', birthDate: '2023-08-28' })
    const answer = await service.refer(await signedIn(partner), parts)
    const planned = observed('early-intervention-plan-on', '2026-02-20', {
      valueDateTime: '2026-02-20',
    })
    const subject = { reference: keptAs(answer, parts, 'patient') }
    const sent = await service.send(staff, {
      method: 'POST',
      url: '/fhir/Observation',
      body: { ...planned, subject },
    })
    expect(sent.status, sent.text).toBe(201)

    await roundOn(73)
    expect(await shown()).not.toContainEqual(expect.stringContaining('legal-date'))
    await roundOn(74)
    expect(await shown()).toContainEqual('legal-date requested 2026-05-29 v1')
  })
})

describe('once', () => {
  test('a round that is made again writes nothing', async () => {
    await roundOn(8)
    const before = await written()
    await roundOn(8)
    await roundOn(12)

    expect(await written()).toBe(before)
    expect(await shown()).toEqual([`information-not-sent requested ${dayAfter(7)} v1`])
  })

  test('after a round that broke off between two children, several at once raise what is left, once', async () => {
    await underWay(service, partner, 's')
    service.clock.set(LATER(8))
    const second = await openService({
      databaseUrl: service.url,
      origin: ORIGIN,
      tokenIssuer: undefined,
      tokenLifetimeSeconds: 3_600,
      poolSize: 4,
      statementTimeoutMs: 10_000,
      answerLanguage: 'en',
      corsOrigins: [],
      jwksOrigins: [],
      notifyOrigins: [],
      now: () => new Date(LATER(8)),
    })
    try {
      const { context } = service.service
      let begun = 0
      const breaking = {
        ...context,
        db: {
          ...context.db,
          inClinic: ((scope, work) =>
            (begun += 1) > 1
              ? Promise.reject(new Error('broke off'))
              : context.db.inClinic(scope, work)) satisfies typeof context.db.inClinic,
        },
      }
      await expect(remind(breaking, staff.clinicId)).rejects.toThrow('broke off')
      expect(await shown()).toHaveLength(1)
      await Promise.all(
        [service.service.context, second.context, second.context].map((one) =>
          remind(one, staff.clinicId, 1),
        ),
      )
    } finally {
      await second.close()
    }

    expect(await shown()).toEqual(
      Array.from({ length: 2 }, () => `information-not-sent requested ${dayAfter(7)} v1`),
    )
  })
})

describe('what becomes of it', () => {
  test('it is closed when its cause is gone, opened when that comes back, and says why', async () => {
    referral = await complete('whole')
    await step(TO['accepted'])
    await roundOn(8)
    expect(await shown()).toContainEqual(`no-date requested ${dayAfter(7)} v1`)

    const visit = {
      resourceType: 'Appointment',
      status: 'booked',
      start: `${dayAfter(20)}T09:00:00Z`,
      end: `${dayAfter(20)}T10:00:00Z`,
      basedOn: [{ reference: referral.request }],
      participant: [{ actor: { reference: referral.patient }, status: 'accepted' }],
    }
    const now = await signedIn(staff)
    const booked = await service.send(now, {
      method: 'POST',
      url: '/fhir/Appointment',
      body: visit,
    })
    expect(booked.status, booked.text).toBe(201)
    await roundOn(10)
    expect(await shown()).toContainEqual(`no-date completed ${dayAfter(7)} v2`)
    expect(await search('code=reminder&reason=no-date')).toMatchObject([
      {
        statusReason: {
          coding: [{ code: 'cause-gone' }],
          text: 'The cause of this reminder is gone.',
        },
      },
    ])

    await changeOf(
      service,
      await signedIn(staff),
      `Appointment/${String(resource(booked)['id'])}`,
      {
        status: 'cancelled',
      },
    )
    await roundOn(11)
    expect(await shown()).toContainEqual(`no-date requested ${dayAfter(7)} v3`)
    expect((await search('code=reminder&reason=no-date'))[0]).not.toHaveProperty('statusReason')
  })

  test('what a person closed or deleted is not raised again; a new cause is', async () => {
    await roundOn(8)
    const [first] = await reminders()
    await step({ status: 'cancelled' }, `Task/${first?.id ?? ''}`)
    await roundOn(9)
    expect(await shown()).toEqual([`information-not-sent cancelled ${dayAfter(7)} v2`])

    await complete('later')
    await roundOn(13)
    const [, second] = await reminders()
    expect(second?.reasonCode.coding[0].code).toBe('no-triage')
    const gone = await service.send(await signedIn(staff), {
      method: 'DELETE',
      url: `/fhir/Task/${second?.id ?? ''}`,
    })
    expect(gone.status).toBe(204)
    await roundOn(14)
    expect(await shown()).toEqual([`information-not-sent cancelled ${dayAfter(7)} v2`])
  })

  test('all are closed when the referral has ended', async () => {
    await roundOn(8)
    await step(TO['rejected'])
    const request = await service.send(await signedIn(staff), { url: `/fhir/${referral.request}` })
    expect(resource(request)['status']).toMatch(/active|revoked/)
    await roundOn(9)

    expect(await shown()).toEqual([`information-not-sent completed ${dayAfter(7)} v2`])
  })
})

describe('who sees it', () => {
  test('the clinic on its worklist by urgency and day due; the partner not at all', async () => {
    await roundOn(8)
    const worklist = await search('status=requested,received&_sort=-urgency,due')
    const codes = worklist.map(({ code }) => JSON.stringify(code))
    expect(codes.filter((code) => code.includes('"reminder"'))).toHaveLength(1)
    expect(await search('code=reminder', partner)).toEqual([])
    const id = await firstId()
    const asked = await service.send(await signedIn(partner), { url: `/fhir/Task/${id}` })
    expect(asked.status).toBe(404)
  })

  test('another clinic’s round leaves it alone', async () => {
    const elsewhere = await service.clinic()
    service.clock.set(LATER(8))
    await remind(service.service.context, elsewhere.staff.clinicId)
    expect(await shown()).toEqual([])
  })

  test('the log says that the service itself did it, to whom', async () => {
    await roundOn(8)
    const id = await firstId()
    const found = resources(
      await service.send(await signedIn(staff), {
        url: `/fhir/AuditEvent?entity=Task/${id}&subtype=referral-reminders`,
      }),
    )
    expect(found).toMatchObject([
      {
        type: { code: '110110' },
        action: 'C',
        agent: [{ who: { identifier: { value: 'footing' } }, requestor: true }],
      },
    ])
    expect(JSON.stringify(found)).toContain(`"${referral.patient}"`)
    expect(found.flatMap((one) => validateResource(one))).toEqual([])
  })
})
