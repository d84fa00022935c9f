import { describe, expect, test } from 'vitest'
import { auditEvent } from '../../src/fhir/audit-event.ts'
import type { AuditRecord } from '../../src/fhir/audit-record.ts'
import { validateResource } from '../../src/fhir/validate.ts'

// IHE Basic Audit Log Patterns 1.1 (BALP), profiles Create, Read, Update, Delete and Query, typed from the guide:
// roles of client and server, both with who and network; one resource, or one query without `what`. For several
// children it wants an event for each: such an event of ours names them all, and claims no pattern.

const DCM = 'http://dicom.nema.org/resources/ontology/DCM'
const PARTICIPANT = 'http://terminology.hl7.org/CodeSystem/provenance-participant-type'
const BALP = 'https://profiles.ihe.net/ITI/BALP/StructureDefinition/IHE.BasicAudit.'
const SERVER = 'https://exchange.example/fhir'

const placed = {
  id: '0b0f3c0e-6d3c-4f0e-9b43-0f3f6f0f7a01',
  recorded: '2026-03-02T09:00:00.000Z',
  clinicId: '0e7a4c1e-5f0b-4c6e-9b1d-6a3f2c9d8e01',
}
const record = (more: Partial<AuditRecord>): AuditRecord => ({
  v: 2,
  kind: 'rest',
  interaction: 'read',
  action: 'R',
  outcome: 0,
  status: 200,
  client: 'an-invented-client',
  token: 'token-1',
  address: '192.0.2.7',
  server: SERVER,
  request: 'request-1',
  about: [{ ref: 'Observation/an-observation', version: 2, did: 'read' }],
  patients: ['an-invented-child'],
  ...more,
})
const eventOf = (more: Partial<AuditRecord>) => auditEvent({ ...placed, record: record(more) })

const ROWS: readonly (readonly [
  interaction: string,
  action: AuditRecord['action'],
  client: string,
  server: string,
  pattern: string,
])[] = [
  ['create', 'C', `${DCM}|110153`, `${DCM}|110152`, 'PatientCreate'],
  ['read', 'R', `${DCM}|110152`, `${DCM}|110153`, 'PatientRead'],
  ['vread', 'R', `${DCM}|110152`, `${DCM}|110153`, 'PatientRead'],
  ['update', 'U', `${DCM}|110153`, `${DCM}|110152`, 'PatientUpdate'],
  ['patch', 'U', `${DCM}|110153`, `${DCM}|110152`, 'PatientUpdate'],
  ['delete', 'D', `${DCM}|110150`, `${PARTICIPANT}|custodian`, 'PatientDelete'],
  ['search', 'E', `${DCM}|110153`, `${DCM}|110152`, 'PatientQuery'],
]

describe.each(ROWS)('%s', (interaction, action, client, server, pattern) => {
  const isSearch = interaction === 'search'
  const own: Partial<AuditRecord> = {
    interaction,
    action,
    ...(isSearch ? { about: [], query: Buffer.from('code=a').toString('base64') } : {}),
  }
  const event = eventOf(own)

  test('has the roles of its pattern, and who and where both sides are', () => {
    const roles = event.agent.map(({ type }) => {
      const [coding] = type?.coding ?? []
      return `${coding?.system}|${coding?.code}`
    })
    expect(roles).toEqual([client, server])
    expect(event.agent.map(({ who }) => who?.identifier?.value)).toEqual([
      'an-invented-client',
      'footing',
    ])
    expect(event.agent.map(({ network }) => network)).toEqual([
      { address: '192.0.2.7', type: '2' },
      { address: SERVER, type: '5' },
    ])
    expect(event.agent[0]?.policy).toEqual(['urn:ietf:params:oauth:jti:token-1'])
  })

  test('claims its pattern, and is valid R4', () => {
    expect(event.meta?.profile).toEqual([`${BALP}${pattern}`])
    expect(eventOf({ ...own, patients: [] }).meta?.profile).toEqual([
      `${BALP}${pattern.replace('Patient', '')}`,
    ])
    expect(validateResource(event)).toEqual([])
  })

  test('names the patient, the request, and its data or its query', () => {
    const roles = (event.entity ?? []).map(({ type, role }) => [type?.code, role?.code])
    const data = isSearch ? ['2', '24'] : ['2', '4']
    expect(roles).toEqual(expect.arrayContaining([data, ['1', '1'], ['XrequestId', undefined]]))
    expect(roles).toHaveLength(3)
    expect(event.entity?.find(({ role }) => role?.code === '24')?.what).toBeUndefined()
  })

  test('claims no pattern that it does not keep to', () => {
    for (const other of [
      { outcome: 4 },
      { patients: ['one', 'another'] },
      { address: undefined },
      { server: undefined },
      { client: undefined },
      { consent: 'permit' },
      isSearch ? { query: undefined } : { about: [] },
    ] satisfies Partial<AuditRecord>[])
      expect(eventOf({ ...own, ...other }).meta, JSON.stringify(other)).toBeUndefined()
  })
})
