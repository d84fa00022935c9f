import type { Sender } from '../../src/services/notification-sending.ts'
import { beforeAll, expect, test } from 'vitest'
import { z } from 'zod'
import { FIT_CHECK_URL } from '../../src/fhir/fit-check-answers.ts'
import { validateResource } from '../../src/fhir/validate.ts'
import {
  changed,
  coded,
  type Json,
  observed,
  quantity,
  referralParts,
  withPart,
} from '../helpers/referral.ts'
import {
  expressions,
  keptAs,
  resource,
  resources,
  type TestService,
  type Who,
} from '../helpers/service.ts'
import {
  read,
  type Receiver,
  subscribed,
  subscription,
  tell,
  tellingService,
} from '../helpers/subscriptions.ts'
import { toldReferences } from '../helpers/told-references.ts'

// Limits of redness and signs to stop, as published leaflets for orthoses say them: the Royal National
// Orthopaedic Hospital about 20 minutes; NHS Fife 20 to 30; Mersey Care and North Bristol 30. NHS Fife:
// stop at redness past the limit, swelling, pain, rash, blister or broken skin, broken device.
const TELL_AFTER_MIN = 20
const STOP_AFTER_MIN = 30

let service: TestService
let endpoint: Receiver
let sender: Sender
let staff: Who
let partner: Who
let other: Who

beforeAll(async () => {
  const telling = await tellingService()
  ;({ service, endpoint, sender } = telling)
  ;({ staff, partner, other } = await service.clinic())
  return telling.close
})

const Word = z.looseObject({
  id: z.string(),
  priority: z.string(),
  category: z.array(z.object({ coding: z.array(z.object({ code: z.string() })) })),
  recipient: z.array(z.object({ identifier: z.object({ value: z.string() }) })),
  payload: z.array(z.looseObject({ contentString: z.string() })),
})
const item = (linkId: string, answer: Json): Json => ({ linkId, answer: [answer] })
const RIGHT: readonly Json[] = [
  item('heel-fully-back-and-down.left', { valueBoolean: true }),
  item('ankle-bones-free.left', { valueBoolean: true }),
  item('closure-gap.left', quantity(13, 'mm')),
  item('medial-trim-line.left', quantity(4, 'mm')),
  item('lateral-trim-line.left', quantity(2, 'mm')),
  item('no-edge-past-metatarsal-heads.left', { valueBoolean: true }),
  item('redness.left', quantity(5, 'min')),
  item('floor-to-stand-and-back', { valueBoolean: true }),
]
const but = (changedItem: Json): Json[] => [
  ...RIGHT.filter(({ linkId }) => linkId !== changedItem['linkId']),
  changedItem,
]

/** A referred child whose left foot wears a size since a day; with a plan in force when accepted. */
async function fitted(
  key: string,
  { delivered = '2026-02-16', accepted = false, recorded = true } = {},
) {
  const parts = referralParts({ key })
  const sent = await service.refer(partner, parts)
  const referral = keptAs(sent, parts, 'referral')
  const patient = { reference: keptAs(sent, parts, 'patient') }
  const create = (body: Json, who = partner) =>
    service.send(who, { method: 'POST', url: `/fhir/${String(body['resourceType'])}`, body })
  const plan = accepted
    ? await service.send(staff, { method: 'POST', url: `/fhir/${referral}/$accept-plan` })
    : undefined
  const use = async (device: unknown) =>
    create({
      resourceType: 'DeviceUseStatement',
      status: 'active',
      subject: patient,
      device: { reference: `Device/${String(device)}` },
      bodySite: coded('side', 'left-foot'),
      timingPeriod: { start: delivered },
    })
  const device = resource(
    await create({
      resourceType: 'Device',
      status: 'active',
      type: coded('exchange', 'supramalleolar-orthosis'),
      modelNumber: 'G6',
      patient,
    }),
  )
  if (recorded) await use(device['id'])
  const checked = (items: readonly Json[], more: Json = {}) =>
    create({
      resourceType: 'QuestionnaireResponse',
      questionnaire: FIT_CHECK_URL,
      status: 'completed',
      authored: '2026-03-01',
      subject: patient,
      item: items,
      ...more,
    })
  const seen = (code: string, value: Json, who = partner) =>
    create(
      {
        resourceType: 'Observation',
        status: 'final',
        code: coded('observation', code),
        subject: patient,
        effectiveDateTime: '2026-03-01',
        ...value,
      },
      who,
    )
  const sign = (code: string) =>
    seen(code, { valueBoolean: true, bodySite: coded('side', 'left-foot') })
  const find = async (query: string, who = partner) =>
    resources(await service.send(who, { url: `/fhir/${query}` }))
  const words = async (who = partner) =>
    (await find(`Communication?subject=${patient.reference}`, who)).map((one) => Word.parse(one))
  const alerts = async () => (await words()).filter(({ priority }) => priority === 'stat')
  const reports = async () => (await words()).filter(({ priority }) => priority === 'routine')
  const reminders = async () =>
    (await find(`Task?subject=${patient.reference}`, staff))
      .filter((one) => JSON.stringify(one['code']).includes('"reminder"'))
      .map(
        (one) =>
          z
            .looseObject({
              reasonCode: z.looseObject({ coding: z.array(z.object({ code: z.string() })) }),
            })
            .parse(one).reasonCode.coding[0]?.code,
      )
  return {
    record: () => use(device['id']),
    referral,
    patient,
    plan,
    create,
    checked,
    seen,
    sign,
    find,
    words,
    alerts,
    reports,
    reminders,
  }
}

test('a fit check that passes is told to the referrer, in both languages, and to nobody else', async () => {
  const { checked, reports, alerts, words, reminders } = await fitted('passes')

  expect((await checked(RIGHT)).status).toBe(201)

  const [report, ...more] = await reports()
  expect(more).toEqual([])
  expect(report?.recipient.map(({ identifier }) => identifier.value)).toEqual([partner.partnerId])
  expect(report?.payload[0]?.contentString).toContain('Every item is within its tolerance.')
  expect(JSON.stringify(report?.payload[0])).toContain('"valueCode":"es"')
  expect(await alerts()).toEqual([])
  expect(await reminders()).toEqual([])
  expect(await words(other)).toEqual([])
})

test('a closure that is too wide is told with how many millimetres', async () => {
  const { checked, reports, alerts } = await fitted('adjusts')
  await checked(but(item('closure-gap.left', quantity(25, 'mm'))))

  const [report] = await reports()

  expect(report?.payload[0]?.contentString).toContain('Adjust: closure gap (left)')
  expect(await alerts()).toEqual([])
})

test.each([
  ['at the lower limit', TELL_AFTER_MIN, 0],
  ['past the lower limit', TELL_AFTER_MIN + 1, 0],
  ['at the upper limit', STOP_AFTER_MIN, 0],
  ['past the upper limit', STOP_AFTER_MIN + 1, 1],
])(
  'redness %s (%i min): %i alerts to the referrer and the clinic',
  async (name, minutes, count) => {
    const { checked, alerts, reminders } = await fitted(`redness ${name}`)
    await checked(but(item('redness.left', quantity(minutes, 'min'))))

    const found = await alerts()

    expect(found).toHaveLength(count)
    expect(await reminders()).toEqual(count === 0 ? [] : ['stop-sign'])
    for (const alert of found) {
      expect(alert.category[0]?.coding[0]?.code).toBe('alert')
      expect(alert.recipient.map(({ identifier }) => identifier.value)).toEqual([
        partner.partnerId,
        partner.clinicId,
      ])
      expect(alert.payload[0]?.contentString).toContain('off until it has been seen')
      const { json } = await service.send(partner, { url: `/fhir/Communication/${alert.id}` })
      expect(validateResource(json)).toEqual([])
    }
  },
)

test.each(['worn-blister', 'worn-broken-skin', 'worn-swelling', 'worn-pain', 'worn-rash'])(
  '%s stops the device at once: one alert, one reminder, never doubled',
  async (code) => {
    const { sign, alerts, reminders } = await fitted(code)
    await sign(code)
    await sign(code)

    expect(await alerts()).toHaveLength(1)
    expect(await reminders()).toEqual(['stop-sign'])
  },
)

test.each(['worn-blister', 'worn-pain'])(
  '%s of a device that nobody recorded is told at once too, once, and that it is to be recorded',
  async (code) => {
    const { sign, seen, alerts, reports, reminders } = await fitted(`unrecorded ${code}`, {
      recorded: false,
    })
    await seen(code, { valueBoolean: false, bodySite: coded('side', 'right-foot') })
    expect(await alerts()).toEqual([])

    await sign(code)
    await sign(code)

    const [alert, ...more] = await alerts()
    expect(more).toEqual([])
    expect(alert?.payload[0]?.contentString).toContain('record what is worn')
    expect(await reminders()).toEqual(['stop-sign'])
    expect(await reports()).toEqual([])
  },
)

test('redness past the limit under a device that nobody recorded is told at once too', async () => {
  const { checked, alerts, reminders } = await fitted('unrecorded redness', { recorded: false })
  await checked(RIGHT)
  expect(await alerts()).toEqual([])

  await checked(but(item('redness.left', quantity(STOP_AFTER_MIN + 1, 'min'))))

  expect(await alerts()).toHaveLength(1)
  expect(await reminders()).toEqual(['stop-sign'])
})

test.each([
  ['marked as an error', true],
  ['taken away', true],
  ['marked as an error, of a device that nobody recorded', false],
])('a sign to stop that is %s is withdrawn where it was told', async (how, recorded) => {
  const { sign, find, patient, words, reminders } = await fitted(`withdrawn ${how}`, { recorded })
  const seen = resource(await sign('worn-blister'))
  const url = `/fhir/Observation/${String(seen['id'])}`
  const body = { ...seen, status: 'entered-in-error' }
  const taken = how.startsWith('taken')
    ? await service.send(partner, { method: 'DELETE', url })
    : await service.send(partner, { method: 'PUT', url, body })
  expect(taken.status, taken.text).toBeLessThan(300)

  const withdrawn = (await words()).filter(({ priority }) => priority === 'urgent')
  expect(withdrawn.map(({ payload }) => payload[0]?.contentString)).toEqual([
    expect.stringContaining('recorded in error'),
  ])
  const open = await find(`Task?subject=${patient.reference}&status=requested&priority=stat`, staff)
  expect(open).toEqual([])
  expect(await reminders()).toEqual(['stop-sign'])
})

test.each(['marked as an error', 'taken away', 'amended'])(
  'redness past the limit of a fit check that is %s is withdrawn too, and told anew when it comes back',
  async (how) => {
    const { checked, words, alerts, reminders } = await fitted(`redness ${how}`)
    const red = but(item('redness.left', quantity(STOP_AFTER_MIN + 1, 'min')))
    const answer = resource(await checked(red))
    const url = `/fhir/QuestionnaireResponse/${String(answer['id'])}`
    const change = how === 'amended' ? { status: 'amended', item: RIGHT } : {}
    const body = { ...answer, status: 'entered-in-error', ...change }
    const taken =
      how === 'taken away'
        ? await service.send(partner, { method: 'DELETE', url })
        : await service.send(partner, { method: 'PUT', url, body })
    expect(taken.status, taken.text).toBeLessThan(300)

    const withdrawn = (await words()).filter(({ priority }) => priority === 'urgent')
    expect(withdrawn.map(({ payload }) => payload[0]?.contentString)).toEqual([
      expect.stringContaining('redness past the limit'),
    ])
    expect(await alerts()).toHaveLength(1)

    await checked(red)
    expect(await alerts()).toHaveLength(2)
    expect(await reminders()).toEqual(['stop-sign', 'stop-sign'])
  },
)

test('copies of a sign that are taken back in one transaction are withdrawn once', async () => {
  const { sign, words, reminders } = await fitted('copies')
  const copies = [resource(await sign('worn-blister')), resource(await sign('worn-blister'))]
  const entry = copies.map(({ id }) => ({
    request: { method: 'DELETE', url: `Observation/${String(id)}` },
  }))
  const body = { resourceType: 'Bundle', type: 'transaction', entry }
  const taken = await service.send(partner, { method: 'POST', url: '/fhir', body })

  expect(taken.status, taken.text).toBe(200)
  expect((await words()).filter(({ priority }) => priority === 'urgent')).toHaveLength(1)
  expect(await reminders()).toEqual(['stop-sign'])
})

test('a sign to stop that comes back after it was withdrawn is told anew', async () => {
  const { sign, alerts, reminders } = await fitted('comes back')
  const seen = resource(await sign('worn-blister'))
  const url = `/fhir/Observation/${String(seen['id'])}`
  await service.send(partner, {
    method: 'PUT',
    url,
    body: { ...seen, status: 'entered-in-error' },
  })

  await sign('worn-blister')
  await sign('worn-blister')

  expect(await alerts()).toHaveLength(2)
  expect(await reminders()).toEqual(['stop-sign', 'stop-sign'])
})

test('a sign that was seen and is gone is not withdrawn: its reminder waits for whoever sees the child', async () => {
  const { sign, seen, find, patient, words } = await fitted('gone')
  await sign('worn-blister')
  await seen('worn-blister', {
    valueBoolean: false,
    bodySite: coded('side', 'left-foot'),
    effectiveDateTime: '2026-03-02',
  })

  expect((await words()).filter(({ priority }) => priority === 'urgent')).toEqual([])
  const open = await find(`Task?subject=${patient.reference}&status=requested&priority=stat`, staff)
  expect(open).toHaveLength(1)
})

test.each([
  ['redness.left', quantity(-5, 'min')],
  ['redness.left', quantity(1441, 'min')],
  ['closure-gap.left', quantity(9999, 'cm')],
  ['medial-trim-line.left', quantity(-201, 'mm')],
])('an answer that cannot be is refused with its place: %s', async (linkId, answer) => {
  const { checked, reports } = await fitted(`cannot be ${linkId} ${JSON.stringify(answer)}`)
  const found = await checked([item(linkId, answer)])

  expect([found.status, expressions(found)]).toEqual([
    422,
    ['QuestionnaireResponse.item[0].answer[0]'],
  ])
  expect(await reports()).toEqual([])
})

const LEFT = { bodySite: coded('side', 'left-foot') }
const RIGHT_FOOT = { bodySite: coded('side', 'right-foot') }

/** What the child wears, recorded by the clinic. */
async function wears(
  { create, patient }: Awaited<ReturnType<typeof fitted>>,
  { foot, since }: { readonly foot: 'left' | 'right'; readonly since: string },
): Promise<Json> {
  const type = coded('exchange', 'supramalleolar-orthosis')
  const device = await create({ resourceType: 'Device', type, modelNumber: 'G6', patient })
  const use = await create({
    resourceType: 'DeviceUseStatement',
    status: 'active',
    subject: patient,
    device: { reference: `Device/${String(resource(device)['id'])}` },
    bodySite: coded('side', `${foot}-foot`),
    timingPeriod: { start: since },
  })
  return resource(use)
}

test('a sign that was told while no device was on record is told once, also when one is recorded', async () => {
  const child = await fitted('recorded later', { recorded: false })
  await child.sign('worn-blister')
  await wears(child, { foot: 'left', since: '2026-02-16' })
  await child.seen('worn-pain', { valueBoolean: false, ...LEFT })

  expect(await child.alerts()).toHaveLength(1)
  expect(await child.reminders()).toEqual(['stop-sign'])
})

test('a sign on the foot whose device nobody recorded is told at once, beside that of the other foot', async () => {
  const { seen, alerts, reminders } = await fitted('other foot')
  await seen('worn-blister', { valueBoolean: true, ...RIGHT_FOOT })

  const [alert, ...more] = await alerts()
  expect(more).toEqual([])
  expect(alert?.payload[0]?.contentString).toContain('record what is worn')
  expect(await reminders()).toEqual(['stop-sign'])
})

test('a sign that comes with the referral itself is told at once', async () => {
  const blister = {
    ...observed('worn-blister', '2026-03-01', { valueBoolean: true, ...LEFT }),
  }
  const parts = withPart(referralParts({ key: 'with the referral' }), 'blister', blister)
  const sent = await service.refer(partner, parts)
  const query = `Communication?subject=${keptAs(sent, parts, 'patient')}`
  const told = resources(await service.send(partner, { url: `/fhir/${query}` }))

  expect(told.map((one) => Word.parse(one).priority)).toEqual(['stat'])
})

const blisters = (looks: readonly (readonly [seen: boolean, at: string])[]) => async () => {
  const child = await fitted(JSON.stringify(looks))
  for (const [valueBoolean, effectiveDateTime] of looks)
    await child.seen('worn-blister', { valueBoolean, effectiveDateTime, ...LEFT })
  const picture = await service.send(partner, {
    url: `/fhir/${child.referral}/$chart?kind=wear`,
    headers: { accept: 'image/svg+xml' },
  })
  return [(await child.alerts()).length, picture.text.includes('the devices stay off')]
}

// Judgement, no source: harm counts where the hours do not tell that it was gone.
test.each([
  ['seen after a look that found nothing', [false, '2026-03-01'], [true, '2026-03-01'], 1, true],
  [
    'seen in the evening of a clear morning',
    [false, '2026-03-01T08:00:00Z'],
    [true, '2026-03-01T18:00:00Z'],
    1,
    true,
  ],
  [
    'gone in the evening, by the hour of another zone',
    [true, '2026-03-01T08:00:00-05:00'],
    [false, '2026-03-01T13:30:00Z'],
    1,
    false,
  ],
  ['gone on the same day without an hour', [true, '2026-03-01'], [false, '2026-03-01'], 1, true],
  ['gone on the next day', [true, '2026-03-01'], [false, '2026-03-02'], 1, false],
] as const)('of two looks the last counts: %s', async (_, first, then, told, isStopped) => {
  expect(await blisters([first, then])()).toEqual([told, isStopped])
})

test('the delivery of the device of the other foot lifts no stop, and its withdrawal is told all the same', async () => {
  const child = await fitted('other delivery')
  const blister = resource(
    await child.seen('worn-blister', {
      valueBoolean: true,
      effectiveDateTime: '2026-02-20',
      ...LEFT,
    }),
  )
  await wears(child, { foot: 'right', since: '2026-03-01' })
  const stopped = async () => {
    const url = `/fhir/${child.referral}/$chart?kind=wear`
    const picture = await service.send(partner, { url, headers: { accept: 'image/svg+xml' } })
    return picture.text.includes('the devices stay off')
  }
  expect(await stopped()).toBe(true)

  const url = `/fhir/Observation/${String(blister['id'])}`
  await service.send(partner, { method: 'DELETE', url })

  expect(await stopped()).toBe(false)
  expect((await child.words()).filter(({ priority }) => priority === 'urgent')).toHaveLength(1)
})

test('redness past the limit stays a stop when the other foot gets its device later; a fit check of a device given back is no fault', async () => {
  const child = await fitted('later device')
  const red = but(item('redness.left', quantity(STOP_AFTER_MIN + 1, 'min')))
  await child.checked(red, { authored: '2026-02-20' })
  const use = await wears(child, { foot: 'right', since: '2026-03-01' })
  const outcome = async () =>
    (await service.send(partner, { url: `/fhir/${child.referral}/$follow-up` })).text

  expect(await outcome()).toContain('the devices stay off until the child has been seen')

  const both = [...RIGHT, item('redness.right', quantity(5, 'min'))]
  expect((await child.checked(both)).status).toBe(201)
  const body = { ...use, timingPeriod: { start: '2026-03-01', end: '2026-03-01' } }
  const url = `/fhir/DeviceUseStatement/${String(use['id'])}`
  await service.send(partner, { method: 'PUT', url, body })

  expect(await outcome()).not.toContain('the devices stay off until the child has been seen')
  expect(await outcome()).not.toContain('OperationOutcome')
})

test('open skin of a foot that wears a device stops it too, by its name at intake', async () => {
  const { sign, alerts, reminders } = await fitted('open skin', { delivered: '2026-02-16' })
  await sign('open-skin')

  expect(await alerts()).toHaveLength(1)
  expect(await reminders()).toEqual(['stop-sign'])
})

test('open skin of a foot that wears none is no sign to stop', async () => {
  const { sign, alerts, reminders } = await fitted('open skin, no device', { recorded: false })
  await sign('open-skin')

  expect([await alerts(), await reminders()]).toEqual([[], []])
})

test('a sign to stop is told also after the referral was given up', async () => {
  const { sign, alerts, reminders, referral, find } = await fitted('given up')
  const [request] = await find(`ServiceRequest?_id=${referral.split('/')[1]}`)
  const revoked = await service.send(partner, {
    method: 'PUT',
    url: `/fhir/${referral}`,
    body: {
      ...request,
      status: 'revoked',
      extension: [
        {
          url: 'http://hl7.org/fhir/StructureDefinition/request-statusReason',
          valueCodeableConcept: { text: 'The family moved away (invented).' },
        },
      ],
    },
  })
  expect(revoked.status, revoked.text).toBe(200)
  await sign('worn-blister')

  expect(await alerts()).toHaveLength(1)
  expect(await reminders()).toEqual(['stop-sign'])
})

test('a sign that was looked for and not seen alarms nobody', async () => {
  const { seen, words } = await fitted('not-seen')
  await seen('worn-blister', { valueBoolean: false, bodySite: coded('side', 'left-foot') })

  expect(await words()).toEqual([])
})

test('the same fit check sent again tells nothing twice', async () => {
  const { checked, words, reminders } = await fitted('again')
  const red = but(item('redness.left', quantity(31, 'min')))
  await checked(red)
  const before = [await words(), await reminders()]
  await checked(red)

  expect([await words(), await reminders()]).toEqual(before)
})

test('what the clinic itself saw reaches the referrer too', async () => {
  const { seen, alerts } = await fitted('by-staff')
  const mark = { valueBoolean: true, bodySite: coded('side', 'left-foot') }

  const sent = await seen('worn-blister', mark, staff)

  expect(sent.status).toBe(201)
  expect(await alerts()).toHaveLength(1)
})

test('an answer about a foot that wears nothing, or of another kind, is refused with its place', async () => {
  const { checked, words } = await fitted('wrong')
  const foot = await checked([...RIGHT, item('redness.right', quantity(40, 'min'))])
  const kind = await checked(but(item('closure-gap.left', { valueBoolean: true })))

  expect([foot.status, ...expressions(foot)]).toEqual([422, 'QuestionnaireResponse.item[8].linkId'])
  expect([kind.status, ...expressions(kind)]).toEqual([
    422,
    'QuestionnaireResponse.item[7].answer[0]',
  ])
  expect(await words()).toEqual([])
})

test('a plan is accepted once by staff, and read by the referrer', async () => {
  const { referral, plan, find, patient } = await fitted('accepts', { accepted: true })
  const again = await service.send(staff, { method: 'POST', url: `/fhir/${referral}/$accept-plan` })
  const byPartner = await service.send(partner, {
    method: 'POST',
    url: `/fhir/${referral}/$accept-plan`,
  })

  expect(plan?.status).toBe(200)
  expect(again.status).toBe(200)
  expect(byPartner.status).toBe(403)
  const plans = await find(`CarePlan?subject=${patient.reference}`)
  expect(plans).toMatchObject([{ status: 'active', intent: 'plan', meta: { versionId: '1' } }])
  for (const one of plan === undefined ? [] : resources(plan)) {
    expect(validateResource(one), String(one['resourceType'])).toEqual([])
    const url = `/fhir/${String(one['resourceType'])}/${String(one['id'])}`
    const body = { ...one, language: 'es' }
    expect((await service.send(partner, { method: 'PUT', url, body })).status, url).toBe(403)
  }
})

test('a plan is accepted as it is proposed now: the operation has no other parameter than language', async () => {
  const { referral } = await fitted('accepted-now', { accepted: true })
  const accept = (query: string, body?: Json) =>
    service.send(staff, {
      method: 'POST',
      url: `/fhir/${referral}/$accept-plan${query}`,
      ...(body === undefined ? {} : { body }),
    })
  const day = [{ name: 'asOf', valueDate: '2026-03-02' }]

  expect((await accept('?language=es')).status).toBe(200)
  for (const [query, body] of [
    ['?asOf=2026-03-02', undefined],
    ['?knownAt=2026-03-02T09:00:00Z', undefined],
    ['', { resourceType: 'Parameters', parameter: day }],
  ] as const)
    expect((await accept(query, body)).status).toBe(400)
})

test('a fit check completes the planned visit that is nearest and notes what came of it', async () => {
  const { checked, plan, find, patient } = await fitted('visits', { accepted: true })
  const visits =
    plan === undefined
      ? []
      : resources(plan).filter((one) => one['resourceType'] === 'ServiceRequest')
  const [delivery] = visits
  await checked(RIGHT)

  const { json } = await service.send(partner, {
    url: `/fhir/ServiceRequest/${String(delivery?.['id'])}`,
  })
  const [care] = await find(`CarePlan?subject=${patient.reference}`)

  expect(json).toMatchObject({ status: 'completed' })
  expect(JSON.stringify(care)).toContain('"outcomeReference"')
  expect(care).toMatchObject({ meta: { versionId: '2' } })
})

test('a stop ends the wear schedule until a later visit lifts it', async () => {
  const { checked, find, patient } = await fitted('stops', { accepted: true })
  const wear = async () => {
    const [care] = await find(`CarePlan?subject=${patient.reference}`)
    const { activity } = z
      .looseObject({
        activity: z.array(
          z.looseObject({ detail: z.looseObject({ status: z.string() }).optional() }),
        ),
      })
      .parse(care)
    return new Set(activity.flatMap(({ detail }) => detail?.status ?? []))
  }
  await checked(but(item('redness.left', quantity(31, 'min'))))
  const stopped = await wear()
  await checked(RIGHT, { authored: '2026-03-02' })

  expect(stopped).toEqual(new Set(['stopped']))
  expect(await wear()).toEqual(new Set(['not-started']))
})

test('a milestone that is attained reaches its goal', async () => {
  const key = 'goal'
  const base = referralParts({ key })
  const parts = changed(base, 'walking-alone', { valueBoolean: false, component: undefined })
  const sent = await service.refer(partner, parts)
  const referral = keptAs(sent, parts, 'referral')
  const patient = { reference: keptAs(sent, parts, 'patient') }
  const plan = await service.send(staff, { method: 'POST', url: `/fhir/${referral}/$accept-plan` })
  expect(plan.status).toBe(200)
  const goals = async () =>
    resources(await service.send(partner, { url: `/fhir/Goal?subject=${patient.reference}` }))
      .filter((one) => JSON.stringify(one['description']).includes('"walking-alone"'))
      .map((one) => one['lifecycleStatus'])
  const create = (body: Json) =>
    service.send(partner, { method: 'POST', url: `/fhir/${String(body['resourceType'])}`, body })
  const device = resource(
    await create({
      resourceType: 'Device',
      status: 'active',
      type: coded('exchange', 'supramalleolar-orthosis'),
      modelNumber: 'G6',
      patient,
    }),
  )
  await create({
    resourceType: 'DeviceUseStatement',
    status: 'active',
    subject: patient,
    device: { reference: `Device/${String(device['id'])}` },
    bodySite: coded('side', 'left-foot'),
    timingPeriod: { start: '2026-02-16' },
  })
  const before = await goals()
  await create({
    resourceType: 'Observation',
    status: 'final',
    code: coded('observation', 'walking-alone'),
    subject: patient,
    effectiveDateTime: '2026-03-02',
    valueBoolean: true,
  })

  expect(before).toEqual(['accepted'])
  expect(await goals()).toEqual(['completed'])
  const words = resources(
    await service.send(partner, { url: `/fhir/Communication?subject=${patient.reference}` }),
  )
  expect(JSON.stringify(words)).toContain('walking alone')
})

test('a device that is outgrown brings a proposal of the next one, linked to the one before', async () => {
  const { seen, find, patient, plan, reminders, referral } = await fitted('outgrown', {
    accepted: true,
  })
  const old =
    plan === undefined
      ? []
      : resources(plan).filter((one) => one['resourceType'] === 'DeviceRequest')
  const left = old.find((one) => JSON.stringify(one['parameter']).includes('left-foot'))
  const long = {
    ...quantity(152, 'mm'),
    bodySite: coded('side', 'left-foot'),
    method: coded('method', 'weight-bearing'),
  }
  await seen('foot-length', { ...long, effectiveDateTime: '2026-03-02' })
  await seen('foot-length', { ...long, effectiveDateTime: '2026-03-02' })

  const proposals = await find(`DeviceRequest?subject=${patient.reference}&status=draft`)

  expect(proposals).toHaveLength(1)
  expect(proposals[0]).toMatchObject({
    intent: 'proposal',
    priorRequest: [{ reference: `DeviceRequest/${String(left?.['id'])}` }],
  })
  expect(await reminders()).toEqual(['outgrown'])
  const open = () => find(`Task?subject=${patient.reference}&code=reminder&status=requested`, staff)
  expect(await open()).toHaveLength(1)
  await service.send(staff, { method: 'POST', url: `/fhir/${referral}/$accept-plan` })
  expect(await open()).toEqual([])
})

test('another plan takes the place of the one in force', async () => {
  const { referral, seen, find, patient, plan } = await fitted('replaced', { accepted: true })
  const [first] = plan === undefined ? [] : resources(plan)
  await seen('foot-length', {
    ...quantity(150, 'mm'),
    bodySite: coded('side', 'left-foot'),
    method: coded('method', 'weight-bearing'),
    effectiveDateTime: '2026-03-02',
  })

  const next = await service.send(staff, { method: 'POST', url: `/fhir/${referral}/$accept-plan` })

  expect(resources(next)[0]).toMatchObject({
    replaces: [{ reference: `CarePlan/${String(first?.['id'])}` }],
  })
  const active = await find(`CarePlan?subject=${patient.reference}&status=active`)
  expect(active).toHaveLength(1)
})

// NHS Fife: stop at broken skin, until it has been looked at. A new plan does not look at it.
test('a plan that is accepted while a sign to stop holds keeps the devices off, until a visit lifts it', async () => {
  const { referral, sign, seen, checked, find, patient } = await fitted('off', { accepted: true })
  await sign('worn-broken-skin')
  await seen('foot-length', {
    ...quantity(139, 'mm'),
    bodySite: coded('side', 'left-foot'),
    method: coded('method', 'weight-bearing'),
  })

  const next = await service.send(staff, { method: 'POST', url: `/fhir/${referral}/$accept-plan` })
  const wear = async () => {
    const [care, ...more] = await find(`CarePlan?subject=${patient.reference}&status=active`)
    expect(more).toEqual([])
    expect(care).toHaveProperty('replaces')
    const { activity } = z
      .looseObject({
        activity: z.array(
          z.looseObject({ detail: z.looseObject({ status: z.string() }).optional() }),
        ),
      })
      .parse(care)
    return [...new Set(activity.flatMap(({ detail }) => detail?.status ?? []))]
  }

  expect(next.status).toBe(200)
  expect(await wear()).toEqual(['stopped'])
  const mark = { bodySite: coded('side', 'left-foot'), effectiveDateTime: '2026-03-02' }
  await seen('worn-broken-skin', { valueBoolean: false, ...mark })
  await checked(RIGHT, { authored: '2026-03-02' })
  expect(await wear()).toEqual(['not-started'])
})

test('nothing gained at 12 weeks asks for a review, once', async () => {
  const { checked, sign, seen, reminders } = await fitted('stalled', { delivered: '2025-12-01' })
  for (const code of ['running', 'jumping-with-both-feet'])
    await seen(code, { valueBoolean: false, effectiveDateTime: '2025-11-20' })
  for (const code of ['running', 'jumping-with-both-feet'])
    await seen(code, { valueBoolean: false, effectiveDateTime: '2026-03-01' })
  await checked(RIGHT)
  await checked(RIGHT, { authored: '2026-03-02' })

  expect(sign).toBeDefined()
  expect(await reminders()).toEqual(['no-gain'])
})

test('nothing gained is told to the referrer too, without a fit check, once and for its reason alone', async () => {
  const { seen, reports } = await fitted('no gain told', { delivered: '2025-12-01' })
  for (const effectiveDateTime of ['2025-11-20', '2026-03-01', '2026-03-02'])
    for (const code of ['running', 'jumping-with-both-feet'])
      await seen(code, { valueBoolean: false, effectiveDateTime })

  const told = await reports()

  expect(told).toHaveLength(1)
  expect(told[0]?.payload[0]?.contentString).toContain('Review: nothing was gained in time.')
})

test('a device that is recorded after what was seen of the child makes the same visit of it', async () => {
  const { record, seen, reports, reminders } = await fitted('recorded late', {
    delivered: '2025-12-01',
    recorded: false,
  })
  for (const effectiveDateTime of ['2025-11-20', '2026-03-01'])
    for (const code of ['running', 'jumping-with-both-feet'])
      await seen(code, { valueBoolean: false, effectiveDateTime })
  expect(await reminders()).toEqual([])

  await record()

  expect(await reminders()).toEqual(['no-gain'])
  expect(await reports()).toHaveLength(1)
})

test('a stop that was told while no device was on record is not told again once one is', async () => {
  const { record, sign, alerts, reminders } = await fitted('stop, then recorded', {
    recorded: false,
  })
  await sign('worn-blister')
  await record()
  await sign('worn-blister')

  expect(await alerts()).toHaveLength(1)
  expect(await reminders()).toEqual(['stop-sign'])
})

test('a device that is delivered makes no visit by itself', async () => {
  const { find, patient, words } = await fitted('only delivered', {
    delivered: '2026-03-02',
  })

  expect(await words()).toEqual([])
  expect(await find(`Observation?subject=${patient.reference}&code=follow-up-visit`)).toEqual([])
})

test('an accepted plan counts from the day on which its devices came', async () => {
  const { find, patient, plan, record, checked } = await fitted('moved', {
    accepted: true,
    delivered: '2026-03-02',
    recorded: false,
  })
  const days = async () => {
    const visits = await find(
      `ServiceRequest?subject=${patient.reference}&intent=plan&_sort=occurrence`,
    )
    return visits.map(({ occurrenceDateTime, code }) => [
      String(occurrenceDateTime),
      JSON.stringify(code).includes('orthotic-refit'),
    ])
  }
  const expected = await days()
  await record()
  const moved = await days()
  await record()

  // Week 2, 4, 6 and 12 after the delivery; a refit is due by growth.
  const visits = moved.filter(([, isRefit]) => !isRefit).map(([on]) => on)
  expect(visits.slice(0, 5)).toEqual([
    '2026-03-02',
    '2026-03-16',
    '2026-03-30',
    '2026-04-13',
    '2026-05-25',
  ])
  expect(moved.filter(([, isRefit]) => isRefit)).toEqual(expected.filter(([, isRefit]) => isRefit))
  expect(await days()).toEqual(moved)
  const [care] = await find(`CarePlan?subject=${patient.reference}&status=active`)
  expect(JSON.stringify(care)).toContain('"boundsPeriod":{"start":"2026-03-02"')
  expect(JSON.stringify(care?.['text'])).toContain('Delivered on March 2, 2026')
  expect(care).toMatchObject({ meta: { versionId: '2' } })
  expect(validateResource(care)).toEqual([])
  expect(plan?.status).toBe(200)
  await checked(RIGHT, { authored: '2026-03-02' })
  const done = await find(
    `ServiceRequest?subject=${patient.reference}&intent=plan&status=completed`,
  )
  expect(done.map(({ occurrenceDateTime }) => occurrenceDateTime)).toEqual(['2026-03-02'])
})

test('what a visit found is kept with where it comes from', async () => {
  const { checked, find, patient } = await fitted('kept', { delivered: '2026-03-01' })
  await checked(RIGHT)

  const [found] = await find(
    `Observation?subject=${patient.reference}&code=https://footing.example/fhir/CodeSystem/observation|follow-up-visit`,
  )
  const provenance = await find(`Provenance?target=Observation/${String(found?.['id'])}`)

  expect(found).toBeDefined()
  expect(JSON.stringify(provenance)).toContain('QuestionnaireResponse/')
})

/** Endpoints of the partner and of another one, told of messages with all that they say. */
async function listening(name: string) {
  const paths = { partner: `/${name}/partner`, other: `/${name}/other` }
  for (const [who, path] of [
    [partner, paths.partner],
    [other, paths.other],
  ] as const) {
    const asked = { topic: 'message-sent', content: 'full-resource' }
    await subscribed(service, who, subscription(`${endpoint.origin}${path}`, asked))
  }
  await tell(service, sender)
  const told = (path: string) =>
    endpoint
      .at(path)
      .map(read)
      .filter(({ type }) => type === 'event-notification')
      .flatMap(({ bundle }) => bundle.entry.slice(1).map((entry) => entry.resource))
  return { paths, told, tellAll: () => tell(service, sender) }
}

test('an adverse finding at the skin reaches the endpoint of the referrer, with the advice to stop, once', async () => {
  const { sign, patient, alerts } = await fitted('told-to-stop', { accepted: true })
  const { paths, told, tellAll } = await listening('stop')
  await sign('worn-broken-skin')
  await tellAll()
  await sign('worn-broken-skin')
  await tellAll()

  const words = told(paths.partner)
  const stops = words.filter(({ priority }) => priority === 'stat')
  expect(stops).toHaveLength(1)
  expect(stops[0]).toMatchObject({ resourceType: 'Communication', subject: patient })
  const [stop] = stops.map((one) => Word.parse(one))
  expect(stop?.category[0]?.coding[0]?.code).toBe('alert')
  expect(stop?.payload[0]?.contentString).toContain('stays off until then')
  expect((await alerts()).map(({ id }) => id)).toEqual([stop?.id])
  // The follow-up of the visit goes with it.
  expect(words).toHaveLength(2)
  expect(words.filter(({ priority }) => priority === 'routine')).toHaveLength(1)
  expect(told(paths.other)).toEqual([])
})

test('an outgrown device reaches the endpoint of the referrer, with the proposal that follows the one before', async () => {
  const { seen, plan } = await fitted('told-outgrown', { accepted: true })
  const { paths, told, tellAll } = await listening('outgrown')
  const left = (plan === undefined ? [] : resources(plan)).find(
    (one) =>
      one['resourceType'] === 'DeviceRequest' &&
      JSON.stringify(one['parameter']).includes('left-foot'),
  )
  const long = {
    ...quantity(152, 'mm'),
    bodySite: coded('side', 'left-foot'),
    method: coded('method', 'weight-bearing'),
    effectiveDateTime: '2026-03-02',
  }
  for (let times = 0; times < 2; times += 1) {
    await seen('foot-length', long, staff)
    await tellAll()
  }

  const About = z.looseObject({ about: z.array(z.object({ reference: z.string() })) })
  const words = told(paths.partner).map((one) => About.parse(one))
  expect(words).toHaveLength(1)
  const proposal = words[0]?.about.find(({ reference }) => reference.startsWith('DeviceRequest/'))
  const answer = await service.send(partner, { url: `/fhir/${proposal?.reference}` })
  expect(resource(answer)).toMatchObject({
    status: 'draft',
    intent: 'proposal',
    priorRequest: [{ reference: `DeviceRequest/${String(left?.['id'])}` }],
  })
  expect(told(paths.other)).toEqual([])
})

test('nothing a partner is told names what it cannot read, though what staff keep counts', async () => {
  const { seen, checked, referral, patient } = await fitted('in-sight', { accepted: true })
  const foot = { ...quantity(152, 'mm'), bodySite: coded('side', 'left-foot') }
  const measured = { ...foot, method: coded('method', 'weight-bearing') }
  const kept = resource(await seen('foot-length', measured, staff))
  await checked(RIGHT)
  await service.sql('analyze')
  const hidden = `Observation/${String(kept['id'])}/_history/1`
  const asked = [
    `${referral}/$triage`,
    `${referral}/$fitting-plan`,
    `${referral}/$follow-up`,
    `${referral}/$decisions`,
    `${patient.reference}/$everything`,
    `_history?_count=200`,
    `Provenance?patient=${patient.reference}&_include=Provenance:entity&_include=Provenance:target`,
    `RiskAssessment?subject=${patient.reference}&_revinclude=Provenance:target`,
    `Task?patient=${patient.reference}&_include=Task:focus`,
  ]
  const answersTo = async (who: Who) => {
    const answers = []
    for (const place of asked) {
      const method = place.endsWith('$triage') ? ('POST' as const) : ('GET' as const)
      answers.push(await service.send(who, { method, url: `/fhir/${place}` }))
    }
    return answers
  }

  const answers = await answersTo(partner)
  const { told, unreadable } = await toldReferences(service, partner, answers)

  expect(answers.map(({ status }) => status)).toEqual(asked.map(() => 200))
  expect(told.length).toBeGreaterThan(50)
  expect(unreadable).toEqual([])
  const byStaff = await toldReferences(service, staff, await answersTo(staff))
  expect(byStaff.told).toContain(hidden)
  expect(byStaff.unreadable).toEqual([])
})

test('the reminders of a visit are the clinic’s: a partner neither sees, closes, takes away nor makes one', async () => {
  const { sign, find, patient, reminders } = await fitted('reminders-of-clinic')
  await sign('worn-blister')
  const [reminder] = await find(`Task?subject=${patient.reference}&priority=stat`, staff)
  const url = `/fhir/Task/${String(reminder?.['id'])}`
  const done = { ...reminder, status: 'completed' }
  const { id: _id, meta: _meta, ...copy } = reminder ?? {}

  const seen = await service.send(partner, { url })
  const closed = await service.send(partner, { method: 'PUT', url, body: done })
  await service.send(partner, { method: 'DELETE', url })
  const made = await service.send(partner, { method: 'POST', url: '/fhir/Task', body: copy })

  expect(await find(`Task?subject=${patient.reference}&code=reminder`)).toEqual([])
  expect([seen.status, closed.status]).toEqual([404, 405])
  expect([made.status, expressions(made)]).toEqual([403, ['http.Authorization']])
  expect(await reminders()).toEqual(['stop-sign'])
  expect((await service.send(staff, { method: 'PUT', url, body: done })).status).toBe(200)
})
