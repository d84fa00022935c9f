import { CANONICAL } from '../../src/fhir/codes.ts'

// A complete, valid referral of an invented child, whose parts a test can change or leave out.

/** A resource or an element, as it is sent. */
export type Json = Record<string, unknown>

export interface Part {
  readonly fullUrl: string
  readonly resource: Json
  readonly request: { readonly method: string; readonly url: string; readonly ifNoneExist?: string }
}
export type Parts = ReadonlyMap<string, Part>

export interface Invented {
  /** Tells this child and its identifiers from others. */
  readonly key: string
  /** The day of every observation. */
  readonly on?: string
  readonly birthDate?: string
}

const BUSINESS = 'https://practice.example/ids'
const UCUM = 'http://unitsofmeasure.org'
const system = (name: string) => `${CANONICAL}/CodeSystem/${name}`
export const coded = (name: string, code: string): Json => ({
  coding: [{ system: system(name), code }],
})
export const identifierOf = (key: string, name: string): Json => ({
  system: BUSINESS,
  value: `${key}-${name}`,
})

/** Stays the same for a name, so that the same referral is built twice alike. */
export function urn(name: string): string {
  let hash = 0
  for (const char of name) hash = (Math.imul(hash, 31) + char.charCodeAt(0)) >>> 0
  return `urn:uuid:${hash.toString(16).padStart(8, '0')}-0000-4000-8000-${name.length.toString(16).padStart(12, '0')}`
}
const to = (name: string): Json => ({ reference: urn(name) })

export const SIDES = ['left', 'right'] as const

/** The observation of one fact, as a partner sends it. */
export const observed = (code: string, on: string, value: Json): Json => ({
  resourceType: 'Observation',
  status: 'final',
  code: coded('observation', code),
  subject: to('patient'),
  effectiveDateTime: on,
  ...value,
})
export const quantity = (value: number, code: string): Json => ({
  valueQuantity: { value, unit: code, system: UCUM, code },
})
const ofFoot = (side: string): Json => ({ bodySite: coded('side', `${side}-foot`) })

const MILESTONES: readonly [string, string][] = [
  ['sitting-without-support', '2024-09-20'],
  ['standing-with-assistance', '2024-12-10'],
  ['hands-and-knees-crawling', '2024-12-20'],
  ['walking-with-assistance', '2025-03-10'],
  ['standing-alone', '2025-05-05'],
  ['walking-alone', '2025-05-28'],
]

function milestones(on: string): [string, Json][] {
  return MILESTONES.map(([code, attainedOn]) => [
    code,
    observed(code, on, {
      valueBoolean: true,
      method: coded('method', 'professional-observation'),
      component: [{ code: coded('observation', 'attained-on'), valueDateTime: attainedOn }],
    }),
  ])
}

function feet(on: string): [string, Json][] {
  return SIDES.flatMap((side): [string, Json][] => {
    const side_ = ofFoot(side)
    const fpi = [2, 2, 2, 1, 2, 1].map((score, index) => ({
      code: coded('observation', `fpi-item-${index + 1}`),
      valueInteger: score,
    }))
    const millimetres = (code: string, value: number) =>
      observed(code, on, {
        ...side_,
        ...quantity(value, 'mm'),
        method: coded('method', 'weight-bearing'),
      })
    const seen = (code: string, value: boolean) =>
      observed(code, on, { ...side_, valueBoolean: value })
    return (
      [
        ['foot-posture-index', observed('foot-posture-index', on, { ...side_, component: fpi })],
        ['arch-seen-unloaded', seen('arch-seen-unloaded', true)],
        ['tiptoe-arch-and-heel-inversion', seen('tiptoe-arch-and-heel-inversion', true)],
        ['great-toe-extension-raises-arch', seen('great-toe-extension-raises-arch', true)],
        [
          'ankle-dorsiflexion-knee-straight',
          observed('ankle-dorsiflexion-knee-straight', on, { ...side_, ...quantity(15, 'deg') }),
        ],
        ['open-skin', seen('open-skin', false)],
        ['insensate-foot', seen('insensate-foot', false)],
        [
          'modified-ashworth-calf',
          observed('modified-ashworth-calf', on, {
            ...side_,
            valueCodeableConcept: coded('value', 'ashworth-0'),
          }),
        ],
        ['foot-length', millimetres('foot-length', 138)],
        ['forefoot-breadth', millimetres('forefoot-breadth', 58)],
        ['malleolar-breadth', millimetres('malleolar-breadth', 45)],
        ['ankle-circumference', millimetres('ankle-circumference', 155)],
      ] satisfies [string, Json][]
    ).map(([name, resource]) => [`${name}.${side}`, resource])
  })
}

function signs(on: string): [string, Json][] {
  const seen: [string, boolean][] = [
    ['habitual-w-sitting', true],
    ['wide-guarded-gait', true],
    ['falls-beyond-practice', true],
    ['heel-contact-seen', false],
    ['generalised-laxity', true],
    ['motor-concern', true],
    ['loss-of-skills', false],
    ['one-sided-weakness', false],
  ]
  return [
    ...seen.map(([code, value]): [string, Json] => [
      code,
      observed(code, on, { valueBoolean: value }),
    ]),
    [
      'muscle-tone',
      observed('muscle-tone', on, { valueCodeableConcept: coded('value', 'tone-low') }),
    ],
    ['beighton-score', observed('beighton-score', on, { valueInteger: 6 })],
    [
      'gestational-age',
      {
        ...observed('', on, quantity(38, 'wk')),
        code: { coding: [{ system: 'http://loinc.org', code: '76516-4' }] },
      },
    ],
  ]
}

function people(key: string, birthDate: string): [string, Json][] {
  return [
    [
      'patient',
      {
        resourceType: 'Patient',
        identifier: [identifierOf(key, 'patient')],
        name: [{ family: `Musterkind-${key}`, given: ['Zoë', 'Erfunden'] }],
        gender: 'female',
        birthDate,
      },
    ],
    [
      'guardian',
      {
        resourceType: 'RelatedPerson',
        identifier: [identifierOf(key, 'guardian')],
        patient: to('patient'),
        name: [{ text: 'An invented guardian' }],
      },
    ],
    [
      'practitioner',
      {
        resourceType: 'Practitioner',
        identifier: [identifierOf(key, 'practitioner')],
        name: [{ text: 'An invented therapist' }],
      },
    ],
    [
      'organization',
      {
        resourceType: 'Organization',
        identifier: [identifierOf(key, 'organization')],
        name: 'An invented practice',
      },
    ],
    [
      'role',
      {
        resourceType: 'PractitionerRole',
        identifier: [identifierOf(key, 'role')],
        practitioner: to('practitioner'),
        organization: to('organization'),
      },
    ],
  ]
}

function requests(key: string, on: string): [string, Json][] {
  return [
    [
      'referral',
      {
        resourceType: 'ServiceRequest',
        identifier: [identifierOf(key, 'referral')],
        status: 'active',
        intent: 'order',
        code: coded('exchange', 'orthotic-referral'),
        subject: to('patient'),
        authoredOn: on,
        requester: to('role'),
        insurance: [to('coverage')],
        supportingInfo: [to('document'), to('consent')],
      },
    ],
    [
      'task',
      {
        resourceType: 'Task',
        identifier: [identifierOf(key, 'task')],
        status: 'requested',
        intent: 'order',
        code: coded('exchange', 'orthotic-referral'),
        focus: to('referral'),
        for: to('patient'),
        authoredOn: on,
        requester: to('role'),
      },
    ],
  ]
}

function papers(key: string, on: string): [string, Json][] {
  return [
    [
      'condition',
      {
        resourceType: 'Condition',
        identifier: [identifierOf(key, 'condition')],
        clinicalStatus: {
          coding: [
            {
              system: 'http://terminology.hl7.org/CodeSystem/condition-clinical',
              code: 'active',
            },
          ],
        },
        code: {
          coding: [
            { system: 'http://hl7.org/fhir/sid/icd-10-cm', code: 'P94.2' },
            { system: 'https://practice.example/codes', code: 'LOW-TONE' },
          ],
        },
        subject: to('patient'),
        recordedDate: on,
      },
    ],
    [
      'coverage',
      {
        resourceType: 'Coverage',
        identifier: [identifierOf(key, 'coverage')],
        status: 'active',
        beneficiary: to('patient'),
        payor: [to('organization')],
      },
    ],
    [
      'consent',
      {
        resourceType: 'Consent',
        identifier: [identifierOf(key, 'consent')],
        status: 'active',
        scope: {
          coding: [
            {
              system: 'http://terminology.hl7.org/CodeSystem/consentscope',
              code: 'patient-privacy',
            },
          ],
        },
        category: [{ text: 'Consent to the referral' }],
        patient: to('patient'),
        dateTime: on,
        policy: [{ uri: 'https://practice.example/policy' }],
      },
    ],
    [
      'document',
      {
        resourceType: 'DocumentReference',
        identifier: [identifierOf(key, 'document')],
        status: 'current',
        subject: to('patient'),
        content: [{ attachment: { title: 'An invented report', contentType: 'text/plain' } }],
      },
    ],
  ]
}

/** All parts, by name; every one is created on the condition that it is not there yet. */
export function referralParts({
  key,
  on = '2026-03-01',
  birthDate = '2024-02-01',
}: Invented): Parts {
  const resources = [
    ...people(key, birthDate),
    ...requests(key, on),
    ...papers(key, on),
    ...[...milestones(on), ...feet(on), ...signs(on)].map(([name, resource]): [string, Json] => [
      name,
      { ...resource, identifier: [identifierOf(key, name)] },
    ]),
  ]
  return new Map(resources.map(([name, resource]) => [name, partOf(key, name, resource)]))
}

export const partOf = (key: string, name: string, resource: Json): Part => ({
  fullUrl: urn(name),
  resource,
  request: {
    method: 'POST',
    url: String(resource['resourceType']),
    ifNoneExist: `identifier=${BUSINESS}|${key}-${name}`,
  },
})

export const without = (parts: Parts, ...names: readonly string[]): Parts =>
  new Map([...parts].filter(([name]) => !names.some((out) => name.startsWith(out))))

/** Elements of one part replaced; one that is undefined is left out of what is sent. */
export function changed(parts: Parts, name: string, change: Json): Parts {
  const part = parts.get(name)
  if (part === undefined) throw new Error(`There is no part ${name}`)
  return new Map([...parts, [name, { ...part, resource: { ...part.resource, ...change } }]])
}

export const withPart = (parts: Parts, name: string, resource: Json): Parts =>
  new Map([
    ...parts,
    [
      name,
      {
        fullUrl: urn(name),
        resource,
        request: { method: 'POST', url: String(resource['resourceType']) },
      },
    ],
  ])

export const bundleOf = (parts: Parts): Json => ({
  resourceType: 'Bundle',
  type: 'transaction',
  entry: [...parts.values()],
})

/** The few parts without which nothing is triaged. */
export const smallReferral = (invented: Invented): Parts =>
  new Map(
    [...referralParts(invented)].flatMap(([name, part]): [string, Part][] => {
      if (!['patient', 'referral', 'task', 'walking-alone', 'muscle-tone'].includes(name)) return []
      const { requester, insurance, supportingInfo, ...resource } = part.resource
      return [[name, { ...part, resource }]]
    }),
  )
