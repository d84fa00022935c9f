import { assert, asyncProperty, boolean, constantFrom, integer, record, subarray } from 'fast-check'
import { beforeAll, expect, test } from 'vitest'
import { Dice } from '../helpers/any-request.ts'
import {
  cardsOf,
  keptThere,
  prefetchOf,
  searchset,
  SIGN,
  signCall,
  VIEW,
  viewCall,
} from '../helpers/cds.ts'
import { asBytes, mutatedJson } from '../helpers/mutated-json.ts'
import { coded, type Json, referralParts } from '../helpers/referral.ts'
import { issues, type TestService, testService, type Who } from '../helpers/service.ts'

// Whatever a records system sends along, it gets cards that keep the text of CDS Hooks 2.0, or is told what is wrong.

let service: TestService
let partner: Who
const PARTS = referralParts({ key: 'any-call' })
const OBSERVED = [...PARTS].filter(([, { resource }]) => resource['resourceType'] === 'Observation')
const WHOLE = prefetchOf(PARTS)

beforeAll(async () => {
  service = await testService()
  ;({ partner } = await service.clinic())
  return service.close
})

const draft: Json = {
  resourceType: 'ServiceRequest',
  id: 'draft-1',
  status: 'draft',
  intent: 'order',
  code: coded('exchange', 'orthotic-referral'),
  subject: { reference: 'Patient/child-1' },
}
const call = (url: string, body: unknown, language = 'en') =>
  service.send(partner, {
    method: 'POST',
    url,
    body,
    headers: { 'content-type': 'application/json', 'accept-language': language },
  })

const anyChild = record({
  birthDate: constantFrom('2020-03-01', '2022-08-20', '2024-02-01', '2025-06-11', '2025-12-30'),
  known: subarray(OBSERVED),
  flip: subarray(OBSERVED.map(([name]) => name)),
  days: integer({ min: 0, max: 400 }),
  withDiagnosis: boolean(),
  referrals: constantFrom('absent', 'none', 'open'),
  sign: boolean(),
  language: constantFrom('en', 'es'),
})

test('of any child the cards keep every rule of the text, in both languages', async () => {
  let shown = 0
  await assert(
    asyncProperty(anyChild, async ({ birthDate, known, flip, days, ...rest }) => {
      const day = new Date(Date.parse('2026-03-01') - days * 86_400_000).toISOString().slice(0, 10)
      const observations = known.map(([name, { resource }]) => {
        const { valueBoolean: seen } = resource
        const turned = typeof seen === 'boolean' && flip.includes(name)
        const { component, ...plain } = turned ? { ...resource, valueBoolean: !seen } : resource
        const parts = turned || component === undefined ? {} : { component }
        return keptThere({ ...plain, ...parts, effectiveDateTime: day }, name)
      })
      const referrals = { absent: undefined, none: null, open: searchset([{ ...draft, id: 'r' }]) }
      const prefetch = {
        ...WHOLE,
        patient: { ...(WHOLE['patient'] as Json), birthDate },
        observations: observations.length === 0 ? null : searchset(observations),
        conditions: rest.withDiagnosis ? WHOLE['conditions'] : null,
        referrals: referrals[rest.referrals],
      }
      const answer = rest.sign
        ? await call(SIGN, signCall(prefetch, [draft]), rest.language)
        : await call(VIEW, viewCall(prefetch), rest.language)
      // A record that cannot be true, a milestone before birth for instance, is refused by name.
      expect(answer.status, answer.text).toBeOneOf([200, 400, 422])
      if (answer.status === 200) shown += cardsOf(answer).length
      else expect(issues(answer).length).toBeGreaterThan(0)
    }),
    { numRuns: 80 },
  )

  expect(shown).toBeGreaterThan(20)
})

test('of any call that was damaged nothing but a refusal or proper cards comes back', async () => {
  const texts = [
    [VIEW, JSON.stringify(viewCall(WHOLE))],
    [SIGN, JSON.stringify(signCall(WHOLE, [draft]))],
  ] as const
  await assert(
    asyncProperty(integer({ min: 1, max: 1_000_000 }), async (seed) => {
      const dice = new Dice(seed)
      const [url, text] = dice.of(texts)
      const answer = await call(url, asBytes(mutatedJson(text, dice), dice))

      expect(answer.status, answer.text).toBeOneOf([200, 400, 412, 413, 422])
      if (answer.status === 200) cardsOf(answer)
      else expect(issues(answer).length).toBeGreaterThan(0)
    }),
    { numRuns: 200 },
  )
})
