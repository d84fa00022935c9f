import { randomUUID } from 'node:crypto'
import { beforeAll, describe, expect, test } from 'vitest'
import { REGISTRY } from '../../src/fhir/registry.ts'
import {
  type Compartment,
  type Compartments,
  compartments,
  plant,
  type Planted,
  resourcesWith,
  typesOf,
} from '../helpers/compartments.ts'
import { type Cell, type Kind, refusalTable, type Role, ROLES } from '../helpers/refusal-table.ts'
import {
  type Answer,
  entries,
  resource,
  type TestService,
  testService,
  type Who,
} from '../helpers/service.ts'
import {
  interactionsOf,
  OF_EVERY_TYPE,
  OF_ONE_TYPE,
  type Target,
} from '../helpers/target-requests.ts'

// tests/cases/refusals.md, asked: every interaction with every type by everybody who may come.

const TABLE = refusalTable()
const kindOf = (type: string): Kind => {
  if (type === 'DeviceDefinition') return 'size charts'
  if (type === 'Library') return 'rule sets'
  if (type === 'AuditEvent') return 'log'
  return REGISTRY.some((row) => row.type === type && row.published === true)
    ? 'published'
    : 'records'
}
const KNOWN = new Map(
  TABLE.map((cell) => [[cell.what, cell.whose, cell.kind, cell.role].join(), cell]),
)
const asked = (what: string, type: string, whose: Cell['whose'], role: Role): Cell | undefined =>
  KNOWN.get([what, whose, kindOf(type), role].join())

let service: TestService
let all: Compartments
let unscoped: Who

beforeAll(async () => {
  service = await testService()
  all = await compartments(service)
  const { clinicId } = all.staff.owner
  unscoped = await service.who({ clinicId, scope: 'system/Claim.cruds' })
  await service.sql('analyze')
  return service.close
})

const IN_ROLE: Readonly<Record<Role, () => { who: Who | undefined; has: Compartment }>> = {
  staff: () => ({ who: all.staff.owner, has: all.staff }),
  partner: () => ({ who: all.partner.owner, has: all.partner }),
  'other partner': () => ({ who: all.otherPartner.owner, has: all.otherPartner }),
  'staff elsewhere': () => ({ who: all.staffElsewhere.owner, has: all.staffElsewhere }),
  'partner elsewhere': () => ({ who: all.partnerElsewhere.owner, has: all.partnerElsewhere }),
  nobody: () => ({ who: undefined, has: all.partner }),
  'no scope': () => ({ who: unscoped, has: all.staff }),
}

const seesNothing = (whose: Cell['whose'], role: Role): boolean =>
  whose === 'a partner'
    ? ['other partner', 'staff elsewhere', 'partner elsewhere'].includes(role)
    : whose === 'the clinic' &&
      ['partner', 'other partner', 'staff elsewhere', 'partner elsewhere'].includes(role)

/** Everything but the id that was asked for, what is new with each answer, and the request's own time. */
const shape = ({ status, headers, text }: Answer, id: string): string =>
  JSON.stringify([status, { ...headers, date: '', 'x-request-id': '' }, text])
    .replaceAll(id, 'ID')
    .replaceAll(/[0-9a-f]{8}-[0-9a-f]{4}-[0-9a-f]{4}-[0-9a-f]{4}-[0-9a-f]{12}/g, 'NEW')

const statusOf = (answer: Answer, what: string): number =>
  answer.status === 200 && / in a (?:batch|transaction)$/.test(what)
    ? Number(entries(answer)[0]?.response?.status.slice(0, 3))
    : answer.status

const TYPES = REGISTRY.map(({ type }) => type as string)

/** What a write changes is there for it alone; whatever else is asked is asked of what stays. */
async function targetsOf(
  owner: Compartment,
  { what, isHidden }: { readonly what: string; readonly isHidden: boolean },
): Promise<ReadonlyMap<string, Planted>> {
  if (isHidden || !/create|update|patch|delete|if changed/.test(what)) return owner.planted
  const fresh = resourcesWith(owner.canary, typesOf(owner.owner), owner.planted)
  await plant(service, owner.owner, fresh.values())
  return fresh
}

/** What a write sends: of what its sender has, as far as it may see it. */
function contentFor(type: string, has: Compartment): Target['content'] {
  const made = resourcesWith(has.canary, [type], has.planted).get(type)
  if (made === undefined) return { resourceType: type }
  const { id: _id, ...content } = resource({
    json: JSON.parse(made.text),
    status: 0,
    headers: {},
    text: '',
  })
  return content
}

const WHATS = [
  ...Object.keys(OF_EVERY_TYPE),
  ...Object.values(OF_ONE_TYPE).flatMap((own) => Object.keys(own)),
]

test('the table answers for every interaction, every type and every role', () => {
  const missing = TYPES.flatMap((type) =>
    interactionsOf(type).flatMap(([what]) =>
      ROLES.filter((role) =>
        (['a partner', 'the clinic', 'everybody'] as const).every(
          (whose) => asked(what, type, whose, role) === undefined,
        ),
      ).map((role) => `${what} of ${type} by ${role}`),
    ),
  )

  expect(missing).toEqual([])
  expect(new Set(TABLE.map(({ what }) => what))).toEqual(new Set(WHATS))
})

describe.each(['a partner', 'the clinic', 'everybody'] as const)('what %s has', (whose) => {
  const roles = ROLES.filter((role) =>
    TABLE.some((cell) => cell.whose === whose && cell.role === role),
  )

  test.each(roles)(
    'is answered to the role %s as the table says, and never shows what it may not see',
    async (role) => {
      const { who, has } = IN_ROLE[role]()
      const owner = whose === 'a partner' ? all.partner : all.staff
      const hidden = [owner.canary, ...[...owner.planted.values()].map(({ id }) => id)]
      const isHidden = seesNothing(whose, role)
      const wrong: unknown[] = []
      let count = 0

      for (const what of WHATS) {
        const targets = await targetsOf(owner, { what, isHidden })
        for (const type of TYPES) {
          const cell = asked(what, type, whose, role)
          const make = new Map(interactionsOf(type)).get(what)
          if (cell === undefined || make === undefined) continue
          count += 1
          const id = targets.get(type)?.id ?? randomUUID()
          const content = contentFor(type, isHidden ? has : owner)
          const sent = make({ type, id, content })
          const answer = await service.send(who, sent)
          const told = `${what} of ${type}`
          if (statusOf(answer, what) !== cell.status)
            wrong.push([told, statusOf(answer, what), cell.status, answer.text.slice(0, 300)])
          if (!isHidden) continue
          const whole = JSON.stringify(answer.headers) + answer.text.replaceAll(id, '')
          wrong.push(...hidden.filter((one) => whole.includes(one)).map((one) => [told, one]))
          if (!JSON.stringify(sent).includes(id)) continue
          const nobody = id.slice(0, -12) + randomUUID().slice(-12)
          const absent = await service.send(who, make({ type, id: nobody, content }))
          if (shape(answer, id) !== shape(absent, nobody))
            wrong.push([told, shape(answer, id), shape(absent, nobody)])
        }
      }

      expect(wrong).toEqual([])
      expect(count).toBeGreaterThan(whose === 'everybody' ? 150 : 40)
    },
    240_000,
  )
})
