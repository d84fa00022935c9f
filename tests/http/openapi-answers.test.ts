import { beforeAll, expect, test } from 'vitest'
import { z } from 'zod'
import { address } from '../helpers/described-calls.ts'
import { type DescribedService, describedService } from '../helpers/described-service.ts'
import {
  describedHeaders,
  describedOperations,
  type DescribedOperation,
} from '../helpers/description.ts'
import { type Answer, resource, resources, type Sent, type Who } from '../helpers/service.ts'

// Each described operation is called as it is meant and in ways in which a caller may be wrong; what it answers is
// described. And what the service says of itself in its CapabilityStatement and OperationDefinitions is described.

const operations = describedOperations()

let all: DescribedService

beforeAll(async () => {
  all = await describedService()
  return all.service.close
})

/** A body as it is meant, where one is needed for more than a refusal. */
const BODIES: Readonly<Record<string, unknown>> = {
  'POST /fhir/': { resourceType: 'Bundle', type: 'transaction' },
  'POST /fhir/Binary': { resourceType: 'Binary', contentType: 'text/plain', data: 'YQ==' },
  'POST /fhir/{type}': { resourceType: 'Observation', status: 'final', code: { text: 'a' } },
  'POST /fhir/Patient/$match': { resourceType: 'Patient', birthDate: '2024-02-03' },
  'PUT /admin/partners/{id}': { regime: 'hipaa' },
}

const bodyOf = ({ name, bodies }: DescribedOperation): Pick<Sent, 'body' | 'headers'> => {
  const [type] = bodies
  if (type === undefined) return {}
  if (type === 'application/x-www-form-urlencoded')
    return { body: '_count=1', headers: { 'content-type': type } }
  const body = BODIES[name] ?? (type === 'application/json-patch+json' ? [] : PARAMETERS)
  return { body, headers: { 'content-type': type } }
}
const PARAMETERS = { resourceType: 'Parameters' }

interface Called {
  readonly how: string
  readonly who: Who | undefined
  readonly change?: Pick<Sent, 'body' | 'headers'>
  readonly query?: readonly (readonly [string, string])[]
}

/** How an operation is called: as it is meant, and otherwise. */
function calls({ isOpen, bodies }: DescribedOperation): readonly Called[] {
  const { staff, powerless } = all
  const meant = isOpen ? undefined : staff
  const headers = (one: Record<string, string>) => ({ change: { headers: one } })
  return [
    { how: 'as it is meant', who: meant },
    { how: 'for Turtle', who: meant, ...headers({ accept: 'text/turtle' }) },
    { how: 'for XML', who: meant, query: [['_format', 'xml']] },
    { how: 'of a version that is not current', who: meant, ...headers({ 'if-match': 'W/"99"' }) },
    { how: 'with a parameter of no form', who: meant, query: [['_count', 'many']] },
    ...(isOpen
      ? []
      : [
          { how: 'without a token', who: undefined },
          { how: 'without a scope', who: powerless },
          { how: 'for no purpose', who: staff, ...headers({ 'purpose-of-use': 'FUN' }) },
        ]),
    ...(bodies.length === 0
      ? []
      : [
          { how: 'with half a body', who: meant, change: { body: '{' } },
          {
            how: 'with text',
            who: meant,
            change: { body: 'a', headers: { 'content-type': 'text/css' } },
          },
          {
            how: 'with too much',
            who: meant,
            change: { body: ' '.repeat(4_500_000) },
          },
        ]),
  ]
}

async function call(operation: DescribedOperation, called: Called): Promise<Answer> {
  const { body, headers } = bodyOf(operation)
  const sent = called.change?.body ?? body
  return all.service.send(called.who, {
    method: Method.parse(operation.method),
    url: address(operation, all.there, called.query),
    ...(sent === undefined ? {} : { body: sent }),
    headers: { ...headers, ...called.change?.headers },
  })
}
const Method = z.enum(['GET', 'HEAD', 'POST', 'PUT', 'PATCH', 'DELETE'])

/** The calls whose answer is not described, with their status. */
async function undescribed(operation: DescribedOperation): Promise<string[]> {
  const found: string[] = []
  for (const called of calls(operation)) {
    const answer = await call(operation, called)
    if (!operation.statuses.includes(answer.status)) found.push(`${called.how}: ${answer.status}`)
    found.push(...wrongHeaders(operation, answer).map((one) => `${called.how}: ${one}`))
  }
  return found
}

const HEADERS = describedHeaders()
/** Not with every answer of a status: of a deletion that did nothing, of what was not done before, of an OperationOutcome. */
const NOW_AND_THEN =
  /^DELETE .* etag$|idempotent-replayed$|(?:200|[45]\d\d) (?:retry-after|allow|www-authenticate)$/

/** Headers that came and are not described, and the other way round (RFC 9110; R4 3.1.0.1). */
const wrongHeaders = (operation: DescribedOperation, { status, headers }: Answer): string[] =>
  HEADERS.flatMap((name) => {
    const isDescribed = operation.headers[status]?.includes(name) ?? false
    const isThere = headers[name] !== undefined
    const mayLack = NOW_AND_THEN.test(`${operation.method} ${status} ${name}`)
    if (isThere === isDescribed || (isDescribed && mayLack)) return []
    return [`${status} ${name} ${isThere ? 'is not described' : 'is not there'}`]
  })

// What takes something away comes last.
const inOrder = operations.toSorted(
  (a, b) => Number(a.method === 'DELETE') - Number(b.method === 'DELETE'),
)

test.each(inOrder.map((one) => [one.name, one] as const))(
  '%s answers as it is described, however it is called',
  async (_, operation) => {
    expect(await undescribed(operation)).toEqual([])
  },
)

const heads = operations.filter(({ method }) => method === 'HEAD')

test.each(heads.map((one) => [one.name, one] as const))(
  '%s answers the status and the headers of GET, and no content (RFC 9110 9.3.2)',
  async (_, head) => {
    const [get] = operations.filter(({ name }) => name === `GET ${head.path}`)
    if (get === undefined) throw new Error('What has a HEAD has a GET')
    const [meant] = calls(head)
    if (meant === undefined) throw new Error('A call is meant')
    const shown = HEADERS.filter((name) => name !== 'x-request-id')
    const told = ({ status, headers }: Answer) => [status, shown.map((name) => headers[name])]

    const answer = await call(head, meant)

    expect(answer.text).toBe('')
    expect(told(answer)).toEqual(told(await call(get, meant)))
  },
)

test('an answer that is not described is found', async () => {
  const [search] = operations.filter(({ name }) => name === 'GET /fhir/{type}')
  if (search === undefined) throw new Error('A search is described.')

  expect(await undescribed({ ...search, statuses: [200, 400, 403, 406] })).toEqual([
    'without a token: 401',
  ])
})

const Definition = z.looseObject({
  code: z.string(),
  resource: z.array(z.string()),
  type: z.boolean(),
  instance: z.boolean(),
  affectsState: z.boolean(),
  parameter: z.array(z.looseObject({ name: z.string(), use: z.string(), type: z.string() })),
})

/** Of these the address says nothing: a whole resource, and what is only read from the body. */
const IN_THE_BODY = ['POST /fhir/AuditEvent/$review']
const ANY = ['_format', '_pretty']

test('an operation takes the parameters of its OperationDefinition, at the levels that it names', async () => {
  const found = await all.service.send(undefined, { url: '/fhir/OperationDefinition?_count=200' })
  const definitions = resources(found).map((one) => Definition.parse(one))
  const differences = definitions.flatMap(({ code, resource: [type], parameter, ...levels }) => {
    const path = `/fhir/${type}`
    const paths = [
      ...(levels.type ? [`${path}/$${code}`] : []),
      ...(levels.instance ? [`${path}/{id}/$${code}`] : []),
    ]
    const asked = parameter
      .filter(({ use, type: kind }) => use === 'in' && kind !== 'Resource')
      .map(({ name }) => name)
    return paths.flatMap((one) => {
      const described = operations.filter((operation) => operation.path === one)
      // HEAD goes with GET, where more than nothing is left of it (RFC 9110 9.3.2).
      const methods = described
        .map(({ method }) => method)
        .filter((method) => method !== 'HEAD')
        .toSorted()
      const wanted =
        levels.affectsState || one.endsWith('onse/$extract') ? ['POST'] : ['GET', 'POST']
      return [
        ...(JSON.stringify(methods) === JSON.stringify(wanted) ? [] : [`${one} ${methods.join()}`]),
        ...described
          .filter(({ name }) => !IN_THE_BODY.includes(name) && !isOfAll(one))
          .filter(({ query }) => query.map(({ name }) => name).join() !== [...asked, ...ANY].join())
          .map(({ name, query }) => `${name} ${query.map((each) => each.name).join()}`),
      ]
    })
  })

  expect(definitions.length).toBeGreaterThan(15)
  expect(differences).toEqual([])
})

/** `id` and `status` choose among subscriptions; one that the address names is not chosen. */
const isOfAll = (path: string): boolean => path === '/fhir/Subscription/{id}/$status'

const Capability = z.looseObject({
  rest: z.tuple([
    z.looseObject({
      operation: z.array(z.looseObject({ name: z.string() })),
      resource: z.array(
        z.looseObject({
          type: z.string(),
          operation: z.array(z.looseObject({ name: z.string() })).optional(),
          searchParam: z.array(z.looseObject({ name: z.string() })),
        }),
      ),
    }),
  ]),
})

test('every operation of the CapabilityStatement is described', async () => {
  const found = resource(await all.service.send(undefined, { url: '/fhir/metadata' }))
  const [rest] = Capability.parse(found).rest
  const named = [
    ...rest.operation.map(({ name }) => `/$${name}`),
    ...rest.resource.flatMap(({ type, operation = [] }) =>
      operation.map(({ name }) => `${name === 'validate' ? '/{type}' : `/${type}`} $${name}`),
    ),
  ]
  const paths = operations.map(({ path }) => path)
  const isDescribed = (one: string): boolean => {
    const [type = '', code = ''] = one.split(' ')
    const places =
      code === '' ? [`/fhir${type}`] : [`/fhir${type}/${code}`, `/fhir${type}/{id}/${code}`]
    return places.some((place) => paths.includes(place))
  }

  expect(named.length).toBeGreaterThan(50)
  expect(named.filter((one) => !isDescribed(one))).toEqual([])
})

test('a search takes what the CapabilityStatement names for every type', async () => {
  const found = resource(await all.service.send(undefined, { url: '/fhir/metadata' }))
  const [{ resource: types }] = Capability.parse(found).rest
  const names = types.map(({ searchParam }) => searchParam.map(({ name }) => name))
  const common = (names[0] ?? []).filter((name) => names.every((own) => own.includes(name)))
  const search = operations.find(({ name }) => name === 'GET /fhir/{type}')
  const described = (search?.query ?? []).map(({ name }) => name)

  expect(common).toContain('_lastUpdated')
  expect(described.filter((name) => common.includes(name)).toSorted()).toEqual(common.toSorted())
})
