import { beforeAll, expect, test } from 'vitest'
import { writeJson } from '../../src/fhir/decimal.ts'
import { REGISTRY } from '../../src/fhir/registry.ts'
import { validateResource } from '../../src/fhir/validate.ts'
import { Dice } from '../helpers/any-request.ts'
import { content } from '../helpers/round-trip.ts'
import { BASE, issues, type TestService, testService, type Who } from '../helpers/service.ts'
import { anyResource } from '../helpers/valid-resource.ts'

/**
 * Any valid resource comes back as it was sent: made from the official R4 definitions, with any optional
 * element and any type of a choice. VALID_RESOURCES sets how many are sent.
 */
const WANTED = Number(process.env['VALID_RESOURCES'] ?? 500)
const SEED = Number(process.env['VALID_SEED'] ?? 20_261_126)
/** Of the others some rule of ours says more than R4: our rule sets, and where notifications go. */
const RULED: ReadonlySet<string> = new Set(['Library', 'Subscription'])
const TYPES = REGISTRY.filter(
  ({ type, interactions, published }) =>
    published !== true && interactions.includes('create') && !RULED.has(type),
).map(({ type }) => type)

let service: TestService
let staff: Who

beforeAll(async () => {
  service = await testService()
  staff = (await service.clinic()).staff
  return service.close
})

test('any valid resource is read as it was sent, element for element and digit for digit', async () => {
  const dice = new Dice(SEED)
  const refused = new Map<string, number>()
  const seen = new Map<string, number>()
  let sent = 0
  for (let made = 0; sent < WANTED && made < 40 * WANTED; made += 1) {
    const type = TYPES[made % TYPES.length] ?? ''
    const resource = anyResource(dice, type)
    if (validateResource(resource).length > 0) continue
    sent += 1
    const text = writeJson(resource)
    const answer = await service.send(staff, { method: 'POST', url: `/fhir/${type}`, body: text })
    if (answer.status !== 201) {
      expect([400, 422], `${text}: ${answer.text}`).toContain(answer.status)
      const rule = `${type} ${issues(answer)[0]?.details.coding?.[0]?.code ?? ''}`
      refused.set(rule, (refused.get(rule) ?? 0) + 1)
      continue
    }
    const read = await service.send(staff, {
      url: String(answer.headers['location']).replace(BASE, '/fhir'),
    })
    expect(read.status).toBe(200)
    expect(content(read.text)).toEqual(content(text))
    seen.set(type, (seen.get(type) ?? 0) + 1)
  }
  const taken = [...seen.values()].reduce((sum, one) => sum + one, 0)
  process.stdout.write(
    `${sent} valid resources sent, ${taken} taken of ${seen.size} types; refused: ${JSON.stringify([...refused])}\n`,
  )

  expect(sent).toBe(WANTED)
  expect(taken).toBeGreaterThan(0.8 * WANTED)
  expect(seen.size).toBeGreaterThanOrEqual(25)
})
