import { beforeEach, expect, test } from 'vitest'
import type { AuditRecord } from '../../src/fhir/audit-record.ts'
import { type Audit, openAudit } from '../../src/services/audit.ts'
import type { Statement } from '../../src/storage/transaction.ts'

// When the log is written: what comes in one turn goes together, and who goes on meanwhile may begin at once.

const CLINIC = '6f1f0a3e-5d5c-4a53-9f5f-5d3f4b0f5b11'

const recordOf = (request: string): AuditRecord => ({
  v: 1,
  kind: 'rest',
  interaction: 'search',
  action: 'E',
  outcome: 0,
  request,
  about: [],
  patients: [],
})

/** Statements that were sent, by the requests of their records; each is answered when the test says so. */
let sent: { readonly requests: string[]; readonly answer: (failure?: Error) => void }[]
let audit: Audit

beforeEach(() => {
  sent = []
  let ids = 0
  const committed = ({ values = [] }: Statement): Promise<void> =>
    new Promise((done, failed) => {
      const requests = [...JSON.stringify(values).matchAll(/request\\":\\"([^\\]+)/g)]
      sent.push({
        requests: requests.map(([, request = '']) => request),
        answer: (failure) => (failure === undefined ? done() : failed(failure)),
      })
    })
  audit = openAudit(
    { committed },
    { now: () => new Date('2026-03-02T09:00:00Z'), newId: () => `id-${(ids += 1)}` },
  )
})

const turn = (): Promise<void> => new Promise((done) => setImmediate(done))
const requests = (): string[][] => sent.map((one) => one.requests)

test('records of one turn go in one statement', async () => {
  const both = Promise.all(['a', 'b'].map((name) => audit.record(CLINIC, recordOf(name))))
  expect(requests()).toEqual([])

  await turn()
  expect(requests()).toEqual([['a', 'b']])
  sent[0]?.answer()
  await both
  expect(audit.count()).toBe(2)
})

test('a record made at once is under way when the call returns, and durable only when it is answered', async () => {
  let isDurable = false
  const durable = audit.recordAtOnce(CLINIC, recordOf('a')).then(() => (isDurable = true))
  expect(requests()).toEqual([['a']])

  await turn()
  expect(isDurable).toBe(false)
  sent[0]?.answer()
  await durable
})

test('what comes while one is under way goes together after it', async () => {
  const first = audit.recordAtOnce(CLINIC, recordOf('a'))
  const others = [
    audit.recordAtOnce(CLINIC, recordOf('b')),
    audit.record(CLINIC, recordOf('c')),
    audit.recordAtOnce(CLINIC, recordOf('d')),
  ]
  await turn()
  expect(requests()).toEqual([['a']])

  sent[0]?.answer()
  await first
  await turn()
  expect(requests()).toEqual([['a'], ['b', 'c', 'd']])
  sent[1]?.answer()
  await Promise.all(others)
})

test('everybody whose record was not written is told, and the next one is written', async () => {
  const lost = Promise.allSettled([
    audit.recordAtOnce(CLINIC, recordOf('a')),
    audit.record(CLINIC, recordOf('b')),
  ])
  sent[0]?.answer(new Error('the disk is full'))
  await turn()
  sent[1]?.answer(new Error('the disk is full'))
  expect((await lost).map(({ status }) => status)).toEqual(['rejected', 'rejected'])
  await turn()

  const next = audit.recordAtOnce(CLINIC, recordOf('c'))
  expect(requests().at(-1)).toEqual(['c'])
  sent.at(-1)?.answer()
  await next
  expect(audit.count()).toBe(1)
})
