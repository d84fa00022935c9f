import ruleSet from '../../domain/rules/footing-default-2026.1.json' with { type: 'json' }
import { EXCHANGE_CODES, OUTCOME_CODES, SIDE_CODES, SYSTEMS, UNITS } from '../codes.ts'
import { concept } from '../derived.ts'
import { FINDING_CODES } from '../finding-codes.ts'
import { DIMENSION_CODES } from '../observed-codes.ts'
import type { Resource } from '../r4/types.ts'
import { narrative, paragraph } from '../xhtml.ts'
import { EXTENSION_EXAMPLES } from './extension-examples.ts'

// One example of each profile. Children, practices, dates and measurements are invented.

const CHILD = { reference: 'Patient/invented-child', display: 'Musterkind (invented)' }
const REFERRAL = { reference: 'ServiceRequest/invented-referral' }
const LENGTH = { reference: 'Observation/invented-length/_history/1' }
const IDS = 'https://practice.example/ids'

const rulesOfAClinic = (): string =>
  JSON.stringify({ ...ruleSet, id: 'invented-clinic', version: '1', title: 'Invented rules' })

const SENT: Readonly<Record<string, Resource>> = {
  'referred-child': {
    resourceType: 'Patient',
    identifier: [{ system: IDS, value: 'invented-child' }],
    name: [{ family: 'Musterkind', given: ['Invented'] }],
    birthDate: '2024-04-05',
  },
  'orthotic-referral': {
    resourceType: 'ServiceRequest',
    identifier: [{ system: IDS, value: 'invented-referral' }],
    status: 'active',
    intent: 'order',
    code: concept(EXCHANGE_CODES.referral),
    subject: CHILD,
    authoredOn: '2026-02-27',
  },
  'referral-task': {
    resourceType: 'Task',
    identifier: [{ system: IDS, value: 'invented-task' }],
    status: 'requested',
    intent: 'order',
    code: concept(EXCHANGE_CODES.referral),
    focus: REFERRAL,
    for: CHILD,
  },
  fact: {
    resourceType: 'Observation',
    status: 'final',
    code: concept(DIMENSION_CODES['foot-length']),
    subject: CHILD,
    effectiveDateTime: '2026-02-27',
    bodySite: concept(SIDE_CODES.left),
    valueQuantity: {
      value: 128,
      unit: UNITS.millimetres.unit,
      system: SYSTEMS.ucum,
      code: UNITS.millimetres.code,
    },
  },
  'worn-device': {
    resourceType: 'DeviceUseStatement',
    status: 'active',
    subject: CHILD,
    timingPeriod: { start: '2026-02-27' },
    device: { reference: 'Device/invented-device' },
    bodySite: concept(SIDE_CODES.left),
  },
  'rule-set': {
    resourceType: 'Library',
    identifier: [{ system: SYSTEMS.ruleSet, value: 'invented-clinic' }],
    version: '1',
    name: 'InventedRules',
    title: 'Invented rules of an invented clinic',
    status: 'draft',
    type: concept(EXCHANGE_CODES.ruleSet),
    content: [
      {
        contentType: 'application/json',
        data: Buffer.from(rulesOfAClinic(), 'utf8').toString('base64'),
      },
    ],
  },
}

const COMPUTED: Readonly<Record<string, Resource>> = {
  finding: {
    resourceType: 'Observation',
    text: narrative(paragraph('An invented finding: the child may be offered an orthosis.')),
    basedOn: [REFERRAL],
    status: 'final',
    code: concept(FINDING_CODES.suitability),
    subject: CHILD,
    effectiveDateTime: '2026-03-02',
    valueCodeableConcept: concept(OUTCOME_CODES.suitable),
    derivedFrom: [LENGTH],
  },
  'referral-risk': {
    resourceType: 'RiskAssessment',
    text: narrative(paragraph('An invented estimate: walking alone by 18 months is likely.')),
    basedOn: REFERRAL,
    status: 'final',
    subject: CHILD,
    occurrenceDateTime: '2026-03-02',
    basis: [LENGTH],
    prediction: [
      { outcome: concept(EXCHANGE_CODES.walkingAloneBy18Months), probabilityDecimal: 0.813 },
    ],
  },
}

/** An invented resource that keeps the profile of this id, or has the extension. */
export const profileExample = (id: string): Resource | undefined =>
  SENT[id] ?? COMPUTED[id] ?? EXTENSION_EXAMPLES[id]
