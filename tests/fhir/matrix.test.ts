import { expect, test } from 'vitest'

import { brokenCases, validCases, validResource } from '../helpers/r4-cases.ts'
import { rulesOf } from '../helpers/told-rules.ts'

for (const { name, resource } of validCases()) {
  test(`valid: ${name}`, () => {
    expect(rulesOf(resource)).toEqual([])
  })
}

/** What each broken case must be refused for, and where, written from its title and content. */
const EXPECTED: Record<string, string> = {
  B01: 'required at DeviceRequest.intent',
  B02: 'required at DeviceRequest.code',
  B04: 'cardinality at DeviceRequest.note',
  B05: 'choice at Observation.value',
  B07: 'unknown-element at Observation.code.codings',
  B08: 'unknown-element at DeviceRequest.parameter[0].valueString',
  B10: 'code at DeviceRequest.intent',
  B11: 'code at CarePlan.activity[0].detail.scheduled.repeat.periodUnit',
  B13: 'primitive.date at Patient.birthDate',
  B14: 'primitive.dateTime at DeviceRequest.authoredOn',
  B16: 'primitive.decimal at Observation.value.value',
  B17: 'primitive.boolean at DeviceRequest.parameter[1].value',
  B19: 'primitive.id at DeviceRequest.id',
  B20: 'primitive.uri at DeviceRequest.identifier[0].system',
  B22: 'empty at DeviceRequest.performer',
  B23: 'null at DeviceRequest.priority',
  B25: 'reference-target at DeviceRequest.subject.reference',
  B26: 'ref-1 at DeviceRequest.code.reference',
  B28: 'ext-1 at Patient.extension[0]',
  B29: 'required at Patient.extension[0].url',
  B31: 'obs-7 at Observation',
  B32: 'obs-3 at Observation.referenceRange[0]',
  B34: 'qty-3 at Observation.value',
  B35: 'tim-2 at CarePlan.activity[0].detail.scheduled.repeat',
  B37: 'bdl-1 at Bundle',
  B38: 'bdl-3 at Bundle',
  B40: 'bdl-8 at Bundle.entry[0]',
  B41: 'code at Bundle.entry[0].resource.gender',
  B43: 'cpt-2 at Patient.telecom[0]',
  B44: 'ras-2 at RiskAssessment.prediction[0]',
  B46: 'sev-1 at AuditEvent.entity[0]',
  B47: 'prr-1 at ServiceRequest',
  B49: 'txt-1 at DeviceRequest.text.div',
  B50: 'txt-2 at DeviceRequest.text.div',
  B52: 'unknown-element at DeviceRequest._subject',
  B53: 'null at Patient.name[0].given[0]',
}

for (const { id = '', name, resource } of brokenCases()) {
  test(`${id} ${name}`, () => {
    expect(rulesOf(resource)).toEqual([EXPECTED[id]])
  })
}

type Change = (resource: Record<string, unknown>) => object

/** The rows of the matrix that are not in the file, each a valid case with one change. */
const CHANGED: [id: string, name: string, from: string, change: Change, expected: string][] = [
  [
    'B03',
    '0..1 element given as array (subject)',
    'DeviceRequest',
    (resource) => ({ ...resource, subject: [resource.subject] }),
    'cardinality at DeviceRequest.subject',
  ],
  [
    'B06',
    'unknown element at root',
    'Patient',
    (resource) => ({ ...resource, shoeSize: 22 }),
    'unknown-element at Patient.shoeSize',
  ],
  [
    'B09',
    'code outside required binding (Observation.status)',
    'Observation',
    (resource) => ({ ...resource, status: 'done' }),
    'code at Observation.status',
  ],
  [
    'B12',
    'date in the wrong form',
    'Patient',
    (resource) => ({ ...resource, birthDate: '01/05/2022' }),
    'primitive.date at Patient.birthDate',
  ],
  [
    'B15',
    'instant with only a date (AuditEvent.recorded)',
    'AuditEvent',
    (resource) => ({ ...resource, recorded: '2024-02-29' }),
    'primitive.instant at AuditEvent.recorded',
  ],
  [
    'B18',
    'non-integer for integer (frequency 1.5)',
    'CarePlan',
    (resource) => ({
      ...resource,
      activity: [
        { detail: { status: 'scheduled', scheduledTiming: { repeat: { frequency: 1.5 } } } },
      ],
    }),
    'primitive.positiveInt at CarePlan.activity[0].detail.scheduled.repeat.frequency',
  ],
  [
    'B21',
    'empty array (note: [])',
    'DeviceRequest',
    (resource) => ({ ...resource, note: [] }),
    'empty at DeviceRequest.note',
  ],
  [
    'B24',
    'empty string',
    'Patient',
    (resource) => ({ ...resource, name: [{ family: '' }] }),
    'empty at Patient.name[0].family',
  ],
  [
    'B27',
    'dom-3: contained resource nobody refers to',
    'DeviceRequest',
    (resource) => ({ ...resource, codeReference: { reference: 'Device/1' } }),
    'dom-3 at DeviceRequest.contained[0]',
  ],
  [
    'B30',
    'obs-6: dataAbsentReason and value',
    'Observation',
    (resource) => ({ ...resource, dataAbsentReason: { text: 'not done' } }),
    'obs-6 at Observation',
  ],
  [
    'B33',
    'per-1: end before start',
    'DeviceRequest',
    (resource) => ({ ...resource, occurrencePeriod: { start: '2024-09-01', end: '2024-03-01' } }),
    'per-1 at DeviceRequest.occurrence',
  ],
  [
    'B36',
    'cpl-3: activity with reference and detail',
    'CarePlan',
    (resource) => ({
      ...resource,
      activity: [{ reference: { reference: 'Task/1' }, detail: { status: 'scheduled' } }],
    }),
    'cpl-3 at CarePlan.activity[0]',
  ],
  [
    'B39',
    'bdl-7: same fullUrl twice',
    'Bundle(transaction)',
    () => ({
      resourceType: 'Bundle',
      type: 'collection',
      entry: ['a', 'b'].map((id) => ({
        fullUrl: 'http://example.org/Patient/a',
        resource: { resourceType: 'Patient', id },
      })),
    }),
    'bdl-7 at Bundle',
  ],
  [
    'B42',
    'pat-1: contact with only relationship',
    'Patient',
    (resource) => ({ ...resource, contact: [{ relationship: [{ text: 'mother' }] }] }),
    'pat-1 at Patient.contact[0]',
  ],
  [
    'B45',
    'inv-1 (Task): lastModified before authoredOn',
    'Task',
    (resource) => ({ ...resource, lastModified: '2024-01-02T10:00:00Z' }),
    'inv-1 at Task',
  ],
  [
    'B48',
    'txt-1: script in the narrative',
    'DeviceRequest',
    (resource) => ({
      ...resource,
      text: {
        status: 'generated',
        div: '<div xmlns="http://www.w3.org/1999/xhtml">a<script>b()</script></div>',
      },
    }),
    'txt-1 at DeviceRequest.text.div',
  ],
  [
    'B51',
    'unknown resourceType',
    'Patient',
    (resource) => ({ ...resource, resourceType: 'Patients' }),
    'resource-type at Resource.resourceType',
  ],
  [
    'B54',
    'positiveInt 0 / negative (Timing count -1)',
    'CarePlan',
    (resource) => ({
      ...resource,
      activity: [{ detail: { status: 'scheduled', scheduledTiming: { repeat: { count: -1 } } } }],
    }),
    'primitive.positiveInt at CarePlan.activity[0].detail.scheduled.repeat.count',
  ],
]

for (const [id, name, from, change, expected] of CHANGED) {
  test(`${id} ${name}`, () => {
    expect(rulesOf(change(validResource(from)))).toEqual([expected])
  })
}

test('all 54 rows of the matrix are covered, none is left out', () => {
  const rows = [...Object.keys(EXPECTED), ...CHANGED.map(([id]) => id)].sort()

  expect(rows).toEqual(
    Array.from({ length: 54 }, (_, index) => `B${String(index + 1).padStart(2, '0')}`),
  )
})
