import { spawnSync } from 'node:child_process'
import { createHash } from 'node:crypto'
import { fileURLToPath } from 'node:url'
import { compactVerify, importJWK } from 'jose'
import { beforeAll, expect, test } from 'vitest'
import { z } from 'zod'
import { verifyAllLogs } from '../../src/services/audit-verification.ts'
import { validateResource } from '../../src/fhir/validate.ts'
import { referralParts } from '../helpers/referral.ts'
import {
  type Answer,
  resources,
  type TestService,
  testService,
  type Who,
} from '../helpers/service.ts'

// RFC 9162, section 2.1: what a third party needs in order not to have to believe the service.

let service: TestService
let staff: Who
let partner: Who

beforeAll(async () => {
  service = await testService()
  ;({ staff, partner } = await service.clinic())
  await service.refer(partner, referralParts({ key: 'integrity' }))
  return service.close
})

const Part = z.object({
  name: z.string(),
  valueBoolean: z.boolean().optional(),
  valueString: z.string().optional(),
  valueCode: z.string().optional(),
  valueId: z.string().optional(),
  valueDecimal: z.number().optional(),
  valueReference: z.object({ reference: z.string() }).optional(),
})
const Answered = z.object({
  resourceType: z.literal('Parameters'),
  parameter: z.array(Part.extend({ part: z.array(Part).optional() })),
})
const parameters = ({ json }: Answer) => Answered.parse(json).parameter
const texts = (answer: Answer, name: string): string[] =>
  parameters(answer).flatMap((one) => (one.name === name ? (one.valueString ?? []) : []))
const text = (answer: Answer, name: string): string => texts(answer, name)[0] ?? ''
const number = (answer: Answer, name: string): number =>
  parameters(answer).find((one) => one.name === name)?.valueDecimal ?? Number.NaN

const events = async () => resources(await service.send(staff, { url: '/fhir/AuditEvent' }))
const someEvent = async (): Promise<string> => String((await events())[0]?.['id'])
const verify = (who: Who = staff) => service.send(who, { url: '/fhir/AuditEvent/$verify' })
const prove = (id: string, who: Who = staff) =>
  service.send(who, { url: `/fhir/AuditEvent/${id}/$inclusion` })

const sha = (...parts: readonly Uint8Array[]) =>
  createHash('sha256').update(Buffer.concat(parts)).digest()
const hex = (value: string) => Buffer.from(value, 'hex')

/** The root as RFC 9162, 2.1.3.2, reckons it from a leaf and its path; nothing of the service's own. */
function rootFrom(leaf: Buffer, index: number, size: number, path: readonly Buffer[]): Buffer {
  let [fn, sn, r] = [index, size - 1, leaf]
  for (const p of path) {
    if (fn % 2 === 1 || fn === sn) {
      r = sha(Buffer.of(1), p, r)
      while (fn % 2 === 0 && fn !== 0) [fn, sn] = [fn >> 1, sn >> 1]
    } else r = sha(Buffer.of(1), r, p)
    ;[fn, sn] = [fn >> 1, sn >> 1]
  }
  return r
}

test('the log of a clinic is valid, to its staff; the verification is recorded too', async () => {
  const answer = await verify()
  const again = await verify()

  expect(answer.status, answer.text).toBe(200)
  expect(validateResource(answer.json)).toEqual([])
  expect(parameters(answer)[0]).toEqual({ name: 'valid', valueBoolean: true })
  expect(number(again, 'records')).toBe(number(answer, 'records') + 1)
})

test('every event is proven to be in a checkpoint: record, hash, path, root, signature', async () => {
  const found = await events()
  for (const event of found) {
    const proof = await prove(String(event['id']))
    expect(proof.status, proof.text).toBe(200)
    expect(validateResource(proof.json)).toEqual([])

    const record = text(proof, 'record')
    expect(record).toContain(`|${String(event['id'])}|${String(event['recorded'])}|`)
    const hash = sha(Buffer.of(0), hex(text(proof, 'previous')), Buffer.from(record))
    expect(text(proof, 'hash')).toBe(hash.toString('hex'))

    const leaf = sha(Buffer.of(0), hash)
    const path = texts(proof, 'path').map(hex)
    const root = rootFrom(leaf, number(proof, 'leafIndex'), number(proof, 'treeSize'), path)
    expect(text(proof, 'rootHash')).toBe(root.toString('hex'))

    const jwk = z.record(z.string(), z.string()).parse(JSON.parse(text(proof, 'key')))
    const { payload } = await compactVerify(text(proof, 'signed'), await importJWK(jwk, 'ES256'))
    expect(JSON.parse(Buffer.from(payload).toString())).toMatchObject({
      clinic: staff.clinicId,
      number: number(proof, 'checkpoint'),
      rootHash: root.toString('hex'),
      treeSize: number(proof, 'treeSize'),
    })
  }
  expect(found.length).toBeGreaterThan(2)
})

test('to a partner, to another clinic and without the scope neither is there', async () => {
  const id = await someEvent()
  const { staff: stranger } = await service.clinic()
  const reader = await service.who({ ...staff, clientId: 'no-audit', scope: 'system/Patient.rs' })

  expect((await verify(partner)).status).toBe(404)
  expect((await prove(id, partner)).status).toBe(404)
  expect((await prove(id, stranger)).status).toBe(404)
  expect((await verify(reader)).status).toBe(403)
  expect((await prove(id, reader)).status).toBe(403)
  expect((await prove('nothing')).status).toBe(404)
})

test('a verification of one clinic says nothing of another', async () => {
  const { staff: stranger } = await service.clinic()
  const answer = await verify(stranger)

  expect(number(answer, 'records')).toBe(0)
  expect(parameters(answer)[0]?.valueBoolean).toBe(true)
})

test('what was changed is named to the staff, and to whoever verifies all logs', async () => {
  const { staff: owner, partner: sender } = await service.clinic()
  await service.refer(sender, referralParts({ key: 'integrity-changed' }))
  const [changed] = await service.sql<{ id: string; writer: string; sequence: number }>(
    `update audit_log set record = record || ' ' where clinic_id = $1
    returning id, writer, sequence::int`,
    [owner.clinicId],
  )
  const answer = await verify(owner)

  expect(parameters(answer)[0]).toEqual({ name: 'valid', valueBoolean: false })
  expect(parameters(answer).find(({ name }) => name === 'fault')?.part).toEqual([
    { name: 'of', valueCode: 'record' },
    { name: 'is', valueCode: 'altered' },
    { name: 'why', valueString: 'Its hash is not that of what it says.' },
    { name: 'writer', valueId: changed?.writer },
    { name: 'sequence', valueDecimal: changed?.sequence },
    { name: 'event', valueReference: { reference: `AuditEvent/${changed?.id}` } },
  ])

  const lines = new Map<string, string>()
  for await (const { isValid, line } of verifyAllLogs(service.service.context))
    lines.set(line.split('\t')[0] ?? '', `${isValid} ${line}`)
  expect(lines.get(owner.clinicId)).toBe(
    `false ${owner.clinicId}\tFAULT\trecord altered: writer ${changed?.writer}, sequence ${changed?.sequence}, AuditEvent/${changed?.id}. Its hash is not that of what it says.`,
  )
  expect(lines.get(staff.clinicId)).toMatch(
    /^true .*\tvalid\t\d+ records of \d+ writers, \d+ checkpoints, the last [0-9a-f]{64}$/,
  )
})

test('an event of a chain that was broken is not proven: 409', async () => {
  const { staff: owner, partner: sender } = await service.clinic()
  await service.refer(sender, referralParts({ key: 'integrity-broken' }))
  const [event] = resources(await service.send(owner, { url: '/fhir/AuditEvent' }))
  await service.sql(`update audit_log set previous = sha256(previous) where clinic_id = $1`, [
    owner.clinicId,
  ])

  expect((await prove(String(event?.['id']), owner)).status).toBe(409)
})

test('the command says a line for each clinic, and ends with 1 because one log was changed', async () => {
  const { staff: owner, partner: sender } = await service.clinic()
  await service.refer(sender, referralParts({ key: 'integrity-command' }))
  await service.sql(`delete from audit_log where clinic_id = $1 and sequence = 1`, [owner.clinicId])
  const command = ['--import', 'tsx', 'src/audit-verify-command.ts']
  const { status, stdout, stderr } = spawnSync(process.execPath, command, {
    cwd: fileURLToPath(new URL('../..', import.meta.url)),
    env: { PATH: process.env['PATH'], DATABASE_URL: service.url },
    encoding: 'utf8',
  })
  const clinics = await service.sql('select distinct clinic_id from audit_log')

  expect([status, stderr]).toEqual([1, ''])
  expect(stdout).toContain(`${owner.clinicId}\tFAULT\trecord missing`)
  expect(stdout).toContain(`${staff.clinicId}\tvalid\t`)
  expect(stdout.trim().split('\n').length).toBeGreaterThanOrEqual(clinics.length)
})
