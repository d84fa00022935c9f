import { beforeAll, describe, expect, test } from 'vitest'
import { z } from 'zod'
import { bundleOf, changed, type Json, smallReferral } from '../helpers/referral.ts'
import {
  businessStatus,
  changeOf,
  reason,
  TO,
  type UnderWay,
  underWay,
} from '../helpers/referrals-under-way.ts'
import {
  type Answer,
  entries,
  expressions,
  issues,
  keptAs,
  resource,
  type TestService,
  testService,
  type Who,
} from '../helpers/service.ts'

let service: TestService
let staff: Who
let partner: Who
let referrals = 0

beforeAll(async () => {
  service = await testService()
  const clinic = await service.clinic()
  staff = clinic.staff
  partner = clinic.partner
  return service.close
})

const URGENCY = 'https://footing.example/fhir/StructureDefinition/urgency-score'
const newKey = () => `steps${(referrals += 1)}`
const begin = (): Promise<UnderWay> => underWay(service, partner, newKey())
const read = async (place: string): Promise<Json> =>
  resource(await service.send(staff, { url: `/fhir/${place}` }))
const change = (who: Who, place: string, to: Json): Promise<Answer> =>
  changeOf(service, who, place, to)
const rules = (answer: Answer) =>
  issues(answer).flatMap(({ details }) => details.coding?.map(({ code }) => code) ?? [])

/** Takes a referral through steps that must all be taken. */
async function taken(who: Who, task: string, ...steps: readonly (keyof typeof TO)[]) {
  for (const name of steps) {
    const answer = await change(who, task, TO[name] ?? {})
    if (answer.status !== 200) throw new Error(`${name}: ${answer.text}`)
  }
}

const statesOf = async ({ task, request }: UnderWay) => {
  const [kept, asked] = [await read(task), await read(request)]
  const status = kept['businessStatus'] as { coding: { code: string }[] } | undefined
  return [kept['status'], status?.coding.map(({ code }) => code), asked['status']]
}

const abortOf = ({ task, request, patient }: UnderWay, more: Json = {}): Json => ({
  resourceType: 'Task',
  status: 'requested',
  intent: 'order',
  code: { coding: [{ system: 'http://hl7.org/fhir/CodeSystem/task-code', code: 'abort' }] },
  focus: { reference: task },
  basedOn: [{ reference: request }],
  for: { reference: patient },
  reasonCode: { text: 'The family moved away (invented).' },
  ...more,
})
const asksToCancel = async (of: UnderWay, who = partner): Promise<string> => {
  const answer = await service.send(who, { method: 'POST', url: '/fhir/Task', body: abortOf(of) })
  expect([answer.status, answer.text.slice(0, 300)]).toEqual([201, expect.any(String)])
  return `Task/${String(resource(answer)['id'])}`
}

describe('the way of a referral', () => {
  test('the clinic takes it from its receipt to the reply; its request is completed with it', async () => {
    const referral = await begin()
    expect(await statesOf(referral)).toEqual([
      'received',
      ['awaiting-information', '2.0'],
      'active',
    ])

    await taken(staff, referral.task, 'received', 'accepted', 'scheduled', 'missed', 'scheduled')
    expect(await statesOf(referral)).toEqual(['in-progress', ['scheduled', '5.1.1'], 'active'])
    await taken(staff, referral.task, 'done', 'hold', 'scheduled', 'done', 'completed')

    expect(await statesOf(referral)).toEqual(['completed', ['completed', '7.0'], 'completed'])
  })

  test('the business statuses of the open guide are read as well as ours', async () => {
    const referral = await begin()
    await taken(staff, referral.task, 'received', 'accepted')
    const system = 'http://hl7.org/fhir/us/bser/CodeSystem/TaskBusinessStatusCS'

    const answer = await change(staff, referral.task, {
      status: 'in-progress',
      businessStatus: { coding: [{ system, code: '5.1.1' }] },
    })

    expect(answer.status).toBe(200)
    expect(await statesOf(referral)).toEqual(['in-progress', ['scheduled', '5.1.1'], 'active'])
  })

  test('a hold ends with its reason, and may come again for the same one', async () => {
    const referral = await begin()
    await taken(staff, referral.task, 'received', 'accepted', 'scheduled', 'hold')
    expect((await read(referral.task))['statusReason']).toEqual({ text: 'The child is ill.' })

    await taken(staff, referral.task, 'scheduled')
    expect((await read(referral.task))['statusReason']).toBeUndefined()
    await taken(staff, referral.task, 'hold')

    expect((await read(referral.task))['statusReason']).toEqual({ text: 'The child is ill.' })
  })

  test('nor does its reason outlive a hold that a request to give up came between', async () => {
    const referral = await begin()
    await taken(staff, referral.task, 'received', 'accepted', 'scheduled', 'hold')
    await asksToCancel(referral)
    await taken(staff, referral.task, 'scheduled')
    expect((await read(referral.task))['statusReason']).toBeUndefined()

    await taken(staff, referral.task, 'hold')
  })

  test('what is refused says where, from, to, who, and what is allowed', async () => {
    const referral = await begin()
    await taken(staff, referral.task, 'received')

    const answer = await change(staff, referral.task, TO['completed'] ?? {})

    expect(answer.status).toBe(422)
    expect(expressions(answer)).toEqual(['Task.status'])
    expect(rules(answer)).toEqual(['referral-step'])
    expect(issues(answer)[0]?.details.text).toBe(
      'From in-triage (Task received) to completed (Task completed) by the clinic: not allowed. Allowed: awaiting-information (Task received), accepted (Task accepted), rejected (Task rejected).',
    )
  })
})

/** Where a referral is taken to by the clinic, and every step that is tried from there. */
const PLACES: readonly (readonly [string, readonly (keyof typeof TO)[]])[] = [
  ['in triage', ['received']],
  ['awaiting information', ['received', 'waiting']],
  ['accepted', ['received', 'accepted']],
  ['scheduled', ['received', 'accepted', 'scheduled']],
  ['missed', ['received', 'accepted', 'scheduled', 'missed']],
  ['on hold', ['received', 'accepted', 'scheduled', 'hold']],
  ['completed', ['received', 'accepted', 'scheduled', 'completed']],
  ['rejected', ['received', 'rejected']],
  ['failed', ['received', 'accepted', 'scheduled', 'failed']],
]

/** Typed from the table of states: what each party may do by changing the Task. */
const CLINIC: Readonly<Record<string, readonly string[]>> = {
  'in triage': ['waiting', 'accepted', 'rejected'],
  'awaiting information': ['received', 'rejected'],
  accepted: ['scheduled', 'rejected'],
  scheduled: ['missed', 'cancelledVisit', 'done', 'hold', 'completed', 'failed'],
  missed: ['scheduled', 'cancelledVisit', 'done', 'hold', 'completed', 'failed'],
  'on hold': ['scheduled', 'failed'],
  completed: [],
  rejected: [],
  failed: [],
}
const REFERRER: Readonly<Record<string, readonly string[]>> = {
  'in triage': ['cancelled', 'error'],
  'awaiting information': ['received', 'cancelled', 'error'],
  accepted: ['cancelled', 'error'],
  scheduled: ['error'],
  missed: ['error'],
  'on hold': ['error'],
  completed: ['error'],
  rejected: ['error'],
  failed: ['error'],
}
/** The step that stays where it is. */
const STAYS: Readonly<Record<string, string>> = {
  'in triage': 'received',
  'awaiting information': 'waiting',
  accepted: 'accepted',
  scheduled: 'scheduled',
  missed: 'missed',
  'on hold': 'hold',
  completed: 'completed',
  rejected: 'rejected',
  failed: 'failed',
}

describe.each(PLACES)('a referral that is %s', (name, way) => {
  let hostage = ''
  let task = ''
  beforeAll(async () => {
    hostage = (await begin()).patient
    task = (await begin()).task
    await taken(staff, task, ...way)
  })
  const outcomes = async (who: () => Who, staffOnly: boolean): Promise<string[]> => {
    const allowed: string[] = []
    for (const [step, to] of Object.entries(TO)) {
      if (step === STAYS[name]) continue
      // Tried in a transaction that another entry brings to nothing: a Patient that something refers to.
      const stands = await read(task)
      const { businessStatus: _left, ...rest } = stands
      const own = staffOnly ? to : withoutOutput(to)
      const answer = await service.send(who(), {
        method: 'POST',
        url: '/fhir',
        body: {
          resourceType: 'Bundle',
          type: 'transaction',
          entry: [
            { resource: { ...rest, ...own }, request: { method: 'PUT', url: task } },
            { request: { method: 'DELETE', url: hostage } },
          ],
        },
      })
      if (rules(answer).includes('delete-referred')) allowed.push(step)
    }
    return allowed
  }

  test('goes where the clinic may take it, and nowhere else', async () => {
    expect(await outcomes(() => staff, true)).toEqual(CLINIC[name])
  })

  test('goes where its referrer may take it, and nowhere else', async () => {
    expect(await outcomes(() => partner, false)).toEqual(REFERRER[name])
  })
})

/** A referrer's steps change nothing that is the clinic's. */
function withoutOutput(to: Json): Json {
  const { output: _output, ...rest } = to
  return rest
}

describe('Task and ServiceRequest move together', () => {
  test('a request that is revoked with a reason cancels its Task, before work has begun', async () => {
    const referral = await begin()
    const extension = [
      {
        url: 'http://hl7.org/fhir/StructureDefinition/request-statusReason',
        valueCodeableConcept: { text: 'The family does not want it.' },
      },
    ]

    const unsaid = await change(partner, referral.request, { status: 'revoked' })
    const said = await change(partner, referral.request, { status: 'revoked', extension })

    expect([unsaid.status, rules(unsaid)]).toEqual([422, ['referral-reason']])
    // R4: a ServiceRequest has no statusReason; the extension request-statusReason is for it.
    expect(expressions(unsaid)).toEqual(['ServiceRequest.extension'])
    expect(unsaid.text).toContain(extension[0]?.url)
    expect(unsaid.text).not.toContain('in a statusReason')
    expect(said.status).toBe(200)
    expect(await statesOf(referral)).toEqual(['cancelled', ['cancelled', '6.0'], 'revoked'])
  })

  test('a Task that its referrer cancels revokes the request', async () => {
    const referral = await begin()

    const answer = await change(partner, referral.task, TO['cancelled'] ?? {})

    expect(answer.status).toBe(200)
    expect(await statesOf(referral)).toEqual(['cancelled', ['cancelled', '6.0'], 'revoked'])
  })

  test('an error of the author is one of both', async () => {
    const referral = await begin()

    const answer = await change(partner, referral.request, { status: 'entered-in-error' })

    expect(answer.status).toBe(200)
    expect(await statesOf(referral)).toEqual([
      'entered-in-error',
      ['entered-in-error'],
      'entered-in-error',
    ])
  })

  test('a draft is sent with its request, and then computed', async () => {
    const parts = changed(
      changed(smallReferral({ key: newKey() }), 'task', { status: 'draft' }),
      'referral',
      {
        status: 'draft',
      },
    )
    const answer = await service.send(partner, {
      method: 'POST',
      url: '/fhir',
      body: bundleOf(parts),
    })
    const place = (name: string) => keptAs(answer, parts, name)
    const referral = { task: place('task'), request: place('referral'), patient: place('patient') }
    expect(await statesOf(referral)).toEqual(['draft', ['drafted'], 'draft'])

    const sent = await change(partner, referral.request, { status: 'active' })

    expect(sent.status).toBe(200)
    expect(await statesOf(referral)).toEqual([
      'received',
      ['awaiting-information', '2.0'],
      'active',
    ])
  })

  test('a request is not changed by staff, nor completed by its referrer, nor revoked once work has begun', async () => {
    const referral = await begin()
    await taken(staff, referral.task, 'received', 'accepted', 'scheduled')

    const answers = [
      await change(staff, referral.request, { note: [{ text: 'x' }] }),
      await change(partner, referral.request, { status: 'completed' }),
      await change(partner, referral.request, { status: 'revoked' }),
    ]

    expect(answers.map(({ status }) => status)).toEqual([422, 422, 422])
    expect(answers.map((answer) => rules(answer)[0])).toEqual([
      'referral-request-maker',
      'referral-status',
      'referral-step',
    ])
  })

  test('what is under way is not deleted', async () => {
    const { task, request } = await begin()
    const body = {
      resourceType: 'Bundle',
      type: 'transaction',
      entry: [task, request].map((url) => ({ request: { method: 'DELETE', url } })),
    }

    const answer = await service.send(partner, { method: 'POST', url: '/fhir', body })

    expect([answer.status, rules(answer)]).toEqual([422, ['referral-deletion']])
  })

  test('a request has one Task', async () => {
    const referral = await begin()
    const { id: _id, identifier: _identifier, ...task } = await read(referral.task)

    const answer = await service.send(partner, {
      method: 'POST',
      url: '/fhir/Task',
      body: { ...task, status: 'requested' },
    })

    expect([answer.status, rules(answer)]).toEqual([422, ['referral-task-repeated']])
  })
})

describe('what the clinic decides', () => {
  test.each([
    ['priority', { priority: 'stat' }],
    ['output', { output: undefined }],
    ['restriction', { restriction: { period: { end: '2026-03-05' } } }],
  ])('%s is not changed by the referrer', async (name, to) => {
    const { task } = await begin()

    const answer = await change(partner, task, to)

    expect([answer.status, expressions(answer)]).toEqual([422, [`Task.${name}`]])
  })

  test('a note may be added, by PATCH too', async () => {
    const { task } = await begin()

    const answer = await service.send(partner, {
      method: 'PATCH',
      url: `/fhir/${task}`,
      headers: { 'content-type': 'application/json-patch+json' },
      body: [{ op: 'add', path: '/note', value: [{ text: 'Call in the morning (invented).' }] }],
    })

    expect(answer.status).toBe(200)
  })

  test('in a batch a step that is refused stops nothing else', async () => {
    const { task, request } = await begin()
    const { businessStatus: _left, ...stands } = await read(task)
    const body = {
      resourceType: 'Bundle',
      type: 'batch',
      entry: [
        { resource: { ...stands, status: 'accepted' }, request: { method: 'PUT', url: task } },
        { request: { method: 'GET', url: request } },
      ],
    }

    const answer = await service.send(partner, { method: 'POST', url: '/fhir', body })

    expect(entries(answer).map(({ response }) => response?.status.slice(0, 3))).toEqual([
      '422',
      '200',
    ])
  })

  test('a referral does not stop being one by another code', async () => {
    const { task } = await begin()

    const answer = await change(staff, task, { code: { text: 'something else' } })

    expect([answer.status, rules(answer)]).toEqual([422, ['referral-code']])
  })

  test('a business status that does not fit its status is refused', async () => {
    const { task } = await begin()
    await taken(staff, task, 'received')

    const wrong = await change(staff, task, { status: 'accepted', ...businessStatus('scheduled') })
    await taken(staff, task, 'accepted')
    const open = await change(staff, task, { status: 'in-progress' })

    expect([rules(wrong), rules(open)]).toEqual([
      ['referral-business-status'],
      ['referral-business-status'],
    ])
  })

  test('the reason of an earlier step is none of this one', async () => {
    const { task } = await begin()
    await taken(staff, task, 'received')

    const answer = await change(staff, task, { status: 'rejected' })

    expect([rules(answer), expressions(answer)]).toEqual([
      ['referral-reason'],
      ['Task.statusReason'],
    ])
  })
})

describe('giving up what was begun', () => {
  const begun = async (): Promise<UnderWay> => {
    const referral = await begin()
    await taken(staff, referral.task, 'received', 'accepted', 'scheduled', 'done')
    return referral
  }

  test('a second Task with code abort asks, and the clinic confirms', async () => {
    const referral = await begun()
    const abort = await asksToCancel(referral)
    const asked = await statesOf(referral)

    const answer = await change(staff, referral.task, { status: 'cancelled' })

    expect(asked).toEqual(['in-progress', ['cancellation-requested', '5.2'], 'active'])
    expect(answer.status).toBe(200)
    expect(await statesOf(referral)).toEqual(['cancelled', ['cancelled', '6.0'], 'revoked'])
    expect((await read(abort))['status']).toBe('completed')
    expect((await read(referral.task))['statusReason']).toEqual({
      text: 'The family moved away (invented).',
    })
  })

  test('the clinic refuses on the second Task, and all is as before', async () => {
    const referral = await begun()
    const abort = await asksToCancel(referral)

    const answer = await change(staff, abort, {
      status: 'rejected',
      ...reason('The device is made.'),
    })

    expect(answer.status).toBe(200)
    expect(await statesOf(referral)).toEqual(['in-progress', ['visit-done', '5.1.4'], 'active'])
  })

  test('the referrer withdraws it, but does not decide it', async () => {
    const referral = await begun()
    const abort = await asksToCancel(referral)

    const decided = await change(partner, abort, { status: 'completed' })
    const withdrawn = await change(partner, abort, { status: 'cancelled' })

    expect([decided.status, rules(decided)]).toEqual([422, ['abort-status']])
    expect(withdrawn.status).toBe(200)
    expect(await statesOf(referral)).toEqual(['in-progress', ['visit-done', '5.1.4'], 'active'])
  })

  test('the clinic goes on with the Task itself: the second one is rejected', async () => {
    const referral = await begun()
    const abort = await asksToCancel(referral)

    await taken(staff, referral.task, 'completed')

    expect((await read(abort))['status']).toBe('rejected')
    expect(await statesOf(referral)).toEqual(['completed', ['completed', '7.0'], 'completed'])
  })

  test('before work has begun, without a reason, or directly it is refused', async () => {
    const early = await begin()
    const referral = await begun()
    const post = (body: Json) => service.send(partner, { method: 'POST', url: '/fhir/Task', body })

    const answers = [
      await post(abortOf(early)),
      await post(abortOf(referral, { reasonCode: undefined })),
      await change(partner, referral.task, {
        status: 'in-progress',
        ...businessStatus('cancellation-requested'),
      }),
    ]

    expect(answers.map(({ status }) => status)).toEqual([422, 422, 422])
    expect(answers.map((answer) => rules(answer)[0])).toEqual([
      'referral-step',
      'referral-reason',
      'referral-step',
    ])
    expect(answers[2]?.text).toContain('code abort')
  })

  test.each<[string, (of: UnderWay) => Json]>([
    ['the Task', () => ({})],
    // Its definition in R4: mark the focal resource as no longer active.
    ['the request', ({ request }) => ({ focus: { reference: request } })],
  ])(
    'it may be asked of %s, stands on the worklist, and confirmed ends both',
    async (_of, more) => {
      const referral = await begun()
      const sent = await service.send(partner, {
        method: 'POST',
        url: '/fhir/Task',
        body: abortOf(referral, more(referral)),
      })
      expect(sent.status, sent.text).toBe(201)
      const abort = `Task/${String(resource(sent)['id'])}`
      const { priority, extension } = await read(referral.task)
      expect(await read(abort)).toMatchObject({
        priority,
        extension,
        owner: { identifier: { value: staff.clinicId } },
      })

      expect((await change(staff, abort, { status: 'completed' })).status).toBe(200)
      expect(await statesOf(referral)).toEqual(['cancelled', ['cancelled', '6.0'], 'revoked'])
    },
  )

  test('what names no referral is refused, and nothing is kept of it', async () => {
    const referral = await begun()
    const answers = await Promise.all(
      [undefined, { reference: referral.patient }].map((focus) =>
        service.send(partner, {
          method: 'POST',
          url: '/fhir/Task',
          body: abortOf(referral, { focus }),
        }),
      ),
    )

    for (const answer of answers)
      expect([answer.status, expressions(answer), rules(answer)]).toEqual([
        422,
        ['Task.focus'],
        ['abort-focus'],
      ])
  })

  test('it is asked once at a time', async () => {
    const referral = await begun()
    const first = await asksToCancel(referral)
    const again = { method: 'POST', url: '/fhir/Task', body: abortOf(referral) } as const

    const second = await service.send(partner, again)
    await change(staff, first, { status: 'rejected', ...reason('The device is made.') })
    const later = await service.send(partner, again)

    expect([second.status, rules(second)]).toEqual([422, ['abort-repeated']])
    expect(later.status, later.text).toBe(201)
  })

  test('its sender changes neither where it goes back to nor its place on the worklist', async () => {
    const referral = await begun()
    const abort = await asksToCancel(referral)
    const { input } = z.looseObject({ input: z.array(z.looseObject({})) }).parse(await read(abort))
    const elsewhere = input.map((one) => ({
      ...one,
      valueCodeableConcept: TO['missed']?.['businessStatus'],
    }))
    const urgency = { url: URGENCY, valueDecimal: 100 }

    const answer = await change(partner, abort, { input: elsewhere, extension: [urgency] })
    expect(answer.status, answer.text).toBe(200)
    expect(await read(abort)).toMatchObject({ input, owner: { type: 'Organization' } })
    expect((await read(abort))['extension']).not.toContainEqual(urgency)

    const dropped = await change(partner, abort, { owner: undefined, extension: undefined })
    expect(dropped.status, dropped.text).toBe(200)
    expect(await read(abort)).toMatchObject({ owner: { type: 'Organization' } })
    await change(partner, abort, { status: 'cancelled' })
    expect(await statesOf(referral)).toEqual(['in-progress', ['visit-done', '5.1.4'], 'active'])
  })

  test('the clinic refuses it with a reason only', async () => {
    const referral = await begun()
    const abort = await asksToCancel(referral)

    const answer = await change(staff, abort, { status: 'rejected' })

    expect([answer.status, expressions(answer)]).toEqual([422, ['Task.statusReason']])
    expect((await read(abort))['status']).toBe('requested')
  })
})

test.each([
  ['blank words', { valueString: ' ' }],
  ['a no', { valueBoolean: false }],
])('a referral is not completed with a reply that is %s', async (_what, value) => {
  const referral = await begin()
  await taken(staff, referral.task, 'received', 'accepted', 'scheduled', 'done')
  const system = 'https://footing.example/fhir/CodeSystem/task-detail'
  const output = [{ type: { coding: [{ system, code: 'reply' }] }, ...value }]

  const answer = await change(staff, referral.task, { status: 'completed', output })

  expect([answer.status, rules(answer).at(-1)]).toEqual([422, 'referral-reply'])
})

test('a referral is not completed with what was computed alone', async () => {
  const referral = await begin()
  await taken(staff, referral.task, 'received', 'accepted', 'scheduled', 'done')
  const { output } = await read(referral.task)
  expect(output).not.toEqual([])

  const answer = await change(staff, referral.task, { status: 'completed' })

  expect([answer.status, expressions(answer), rules(answer)]).toEqual([
    422,
    ['Task.output'],
    ['referral-reply'],
  ])
})

test('a partner gives no Task of its own a place on the worklist, and no referral a reply', async () => {
  const { patient } = await begin()
  const post = (body: Json) => service.send(partner, { method: 'POST', url: '/fhir/Task', body })
  const own = {
    resourceType: 'Task',
    status: 'requested',
    intent: 'order',
    code: { text: 'A note (invented)' },
    for: { reference: patient },
  }
  const urgent = await post({ ...own, extension: [{ url: URGENCY, valueDecimal: 100 }] })
  expect([urgent.status, expressions(urgent)]).toEqual([422, ['Task.extension']])

  const parts = smallReferral({ key: newKey() })
  const task = changed(parts, 'task', { output: TO['completed']?.['output'] })
  const sent = await service.send(partner, { method: 'POST', url: '/fhir', body: bundleOf(task) })
  expect([sent.status, expressions(sent)]).toEqual([422, ['Bundle.entry[2].resource.output']])
})
