import type { FastifyInstance } from 'fastify'
import type { Dice } from './any-request.ts'
import type { Compartment, Compartments } from './compartments.ts'
import { goalIn, type Loot, probe } from './cross-probes.ts'
import type { Answer, Sent, Who } from './service.ts'

// Probes sent by everybody after what everybody else has. A word or an id of another compartment in an
// answer is a leak, and so is an answer that differs from that for something that was never there.

type Send = (who: Who, sent: Sent) => Promise<Answer>

export interface ProbePlan {
  readonly probes: number
  readonly dice: Dice
  /** Who is after whom; everybody after what everybody else has when not given. */
  readonly groups?: readonly (readonly Attack[])[]
}

interface Attack {
  readonly by: Compartment
  readonly after: Compartment
}

export interface ProbeRun {
  readonly probes: number
  /** Of them, those that were sent a second time about what was never there. */
  readonly compared: number
  readonly statuses: ReadonlyMap<number, number>
  /** What must not be: the probe, with what it showed. */
  readonly leaks: readonly string[]
}

/** Who may see nothing of whom, in groups whose answers the others of the group change. */
export function attacks(all: Compartments): Attack[][] {
  const { staff, partner, otherPartner, staffElsewhere, partnerElsewhere } = all
  const after = (by: Compartment, ...goals: Compartment[]) =>
    goals.map((goal) => ({ by, after: goal }))
  return [
    [
      ...after(partner, staff, otherPartner, staffElsewhere, partnerElsewhere),
      ...after(otherPartner, staff, partner, staffElsewhere, partnerElsewhere),
      ...after(staff, staffElsewhere, partnerElsewhere),
    ],
    [
      ...after(staffElsewhere, staff, partner, otherPartner),
      ...after(partnerElsewhere, staff, partner, otherPartner, staffElsewhere),
    ],
  ]
}

const UUID = /[0-9a-f]{8}-[0-9a-f]{4}-[0-9a-f]{4}-[0-9a-f]{4}-[0-9a-f]{12}/g
/** Differs with every answer: when, which request, what was newly made, where a page ended. */
const shape = ({ status, headers, text }: Answer): string =>
  JSON.stringify([status, { ...headers, date: '', 'x-request-id': '' }, text])
    .replaceAll(UUID, 'ID')
    .replaceAll(/canary[0-9a-f]{14}/g, 'CANARY')
    .replaceAll(/_cursor=[\w%.~-]+/g, '_cursor=PLACE')
    .replaceAll(/\d{4}-\d\d-\d\dT[\d:.]+Z/g, 'TIME')

/** The same request about what was never there. */
function aboutNothing(sent: Sent, hidden: ReadonlySet<string>, dice: Dice): Sent {
  const names = new Map<string, string>()
  const other = (name: string): string => {
    const known = names.get(name)
    if (known !== undefined) return known
    const digits = (count: number) =>
      Array.from({ length: count }, () => dice.below(16).toString(16)).join('')
    const made = name.startsWith('canary') ? `canary${digits(14)}` : name.slice(0, -12) + digits(12)
    names.set(name, made)
    return made
  }
  const swapped = (text: string): string =>
    text
      .replaceAll(UUID, (id) => (hidden.has(id) ? other(id) : id))
      .replaceAll(/canary[0-9a-f]{14}/g, (word) => (hidden.has(word) ? other(word) : word))
  const { url, body, headers } = sent
  return {
    ...sent,
    url: swapped(url),
    ...(body === undefined
      ? {}
      : { body: swapped(typeof body === 'string' ? body : JSON.stringify(body)) }),
    ...(headers === undefined
      ? {}
      : {
          headers: Object.fromEntries(
            Object.entries(headers).map(([name, value]) => [name, swapped(value)]),
          ),
        }),
  }
}

export const wordsOf = ({ canary, planted }: Compartment): string[] => [
  canary,
  ...[...planted.values()].map(({ id }) => id),
]

/** What every compartment has to be after, beside its resources. */
export async function lootOf(send: Send, { owner, planted }: Compartment): Promise<Loot> {
  const patient = planted.get('Patient')?.id ?? ''
  const key = `key-of-${owner.clientId}`
  const kept = await send(owner, { url: '/fhir/$export' })
  const place = String(kept.headers['content-location'])
  const pages = ['Observation?_count=1', '_history?_count=1', 'Observation/_history?_count=1']
  const answers = await Promise.all(pages.map((page) => send(owner, { url: `/fhir/${page}` })))
  const cursors = answers.flatMap(({ text }) =>
    [...text.matchAll(/"relation":"next","url":"https?:\/\/[^/]+(\/fhir[^"]+)"/g)].map(
      ([, url]) => url ?? '',
    ),
  )
  await send(owner, {
    method: 'POST',
    url: '/fhir',
    headers: { 'idempotency-key': key },
    body: {
      resourceType: 'Bundle',
      type: 'transaction',
      entry: [{ request: { method: 'GET', url: `Patient/${patient}` } }],
    },
  })
  return {
    exportIds: [place.split('/').at(-1) ?? ''],
    cursors: cursors.length > 0 ? cursors : ['/fhir/Observation?_count=1'],
    keys: [key],
  }
}

const COMPARED_ONE_IN = 4

export async function probeRun(
  send: Send,
  all: Compartments,
  { probes, dice, groups = attacks(all) }: ProbePlan,
): Promise<ProbeRun> {
  const statuses = new Map<number, number>()
  const leaks: string[] = []
  let sentCount = 0
  let compared = 0
  const everyone = [...new Set(groups.flat().flatMap(({ by, after }) => [by, after]))]
  const loot = new Map<Compartment, Loot>()
  for (const one of everyone) loot.set(one, await lootOf(send, one))

  const one = async (group: readonly Attack[]): Promise<void> => {
    const { by, after } = dice.of(group)
    const found = loot.get(after)
    if (found === undefined) throw new Error('There is nothing to be after')
    const sent = probe(goalIn(after, dice), dice, found)
    const hidden = everyone.filter((other) => group.some((a) => a.by === by && a.after === other))
    const words = hidden.flatMap(wordsOf)
    const told = JSON.stringify(sent)
    const answer = await send(by.owner, sent)
    statuses.set(answer.status, (statuses.get(answer.status) ?? 0) + 1)
    const whole = `${JSON.stringify(answer.headers)}${answer.text}`
    const shown = words.filter((word) => whole.includes(word) && !told.includes(word))
    const at = `${by.name} after ${after.name}: ${told.slice(0, 500)}`
    if (shown.length > 0) leaks.push(`${at}: shows ${shown.join()}`)
    if (answer.status >= 500) leaks.push(`${at}: ${answer.status}`)
    if (!dice.chance(COMPARED_ONE_IN)) return
    const twin = aboutNothing(sent, new Set([...words, ...found.exportIds]), dice)
    if (twin.url === sent.url && !words.some((word) => told.includes(word))) return
    compared += 1
    const absent = await send(by.owner, twin)
    if (shape(answer) !== shape(absent))
      leaks.push(`${at}: differs\n  ${shape(answer)}\n  ${shape(absent)}`)
  }

  const chain = async (group: readonly Attack[]): Promise<void> => {
    while (sentCount < probes) {
      sentCount += 1
      await one(group)
    }
  }
  await Promise.all(groups.map(chain))
  return { probes: sentCount, compared, statuses, leaks }
}

/** Answers of the service in this process. */
export const sendTo =
  (app: FastifyInstance): Send =>
  async (who, { method = 'GET', url, body, headers }) => {
    const response = await app.inject({
      method,
      url,
      headers: {
        authorization: `Bearer ${who.token}`,
        ...(body === undefined ? {} : { 'content-type': 'application/fhir+json' }),
        ...headers,
      },
      ...(body === undefined
        ? {}
        : { payload: typeof body === 'string' ? body : JSON.stringify(body) }),
    })
    return {
      status: response.statusCode,
      headers: response.headers,
      text: response.body,
      json: undefined,
    }
  }
