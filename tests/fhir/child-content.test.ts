import { expect, test } from 'vitest'
import { isChildContent } from '../../src/fhir/child-content.ts'
import type { Resource } from '../../src/fhir/r4/types.ts'
import { consentResource } from '../helpers/consent-resources.ts'
import type { Json } from '../helpers/referral.ts'

const about = (resource: Json) => isChildContent(resource as unknown as Resource)
const consent = (change: Json = {}) =>
  consentResource({ patient: 'Patient/p', performer: '#m', clinicId: 'c' }, change)

test.each(['Practitioner', 'PractitionerRole', 'Organization', 'Questionnaire', 'Subscription'])(
  'a %s is about no child, unless it contains what is',
  (resourceType) => {
    expect(about({ resourceType })).toBe(false)
    expect(about({ resourceType, contained: [{ resourceType: 'Organization' }] })).toBe(false)
    expect(about({ resourceType, contained: [{ resourceType: 'Observation' }] })).toBe(true)
  },
)

test.each(['Patient', 'RelatedPerson', 'Observation', 'Condition', 'Task', 'Device', 'Coverage'])(
  'a %s is about a child',
  (resourceType) => {
    expect(about({ resourceType })).toBe(true)
  },
)

test('a Consent is not, with those whom it names; with anything else inside it is', () => {
  expect(about(consent())).toBe(false)
  expect(about(consent({ contained: [{ resourceType: 'RelatedPerson' }] }))).toBe(false)
  expect(about(consent({ contained: [{ resourceType: 'Condition' }] }))).toBe(true)
})
