import type { Resource } from './r4/types.ts'

/** People and organisations in their work, forms, and what a system asks to be told of: nothing of them is about a child. */
const NOT_ABOUT_A_CHILD: ReadonlySet<string> = new Set([
  'Practitioner',
  'PractitionerRole',
  'Organization',
  'Questionnaire',
  'Subscription',
])

/** Who may be contained in a Consent: those whom it names. */
const NAMED_IN_A_CONSENT: ReadonlySet<string> = new Set([
  ...NOT_ABOUT_A_CHILD,
  'RelatedPerson',
  'Patient',
])

/**
 * Is a resource content about a child, for which its sender may need a consent? The Consent itself is not:
 * it says only who may be told what, and a withdrawal must always be heard. Its Patient is: name and day
 * of birth are content too, so a child that is not known here comes with a consent that counts.
 */
export function isChildContent(resource: Resource): boolean {
  const contained = 'contained' in resource ? (resource.contained ?? []) : []
  const about = resource.resourceType === 'Consent' ? NAMED_IN_A_CONSENT : NOT_ABOUT_A_CHILD
  const itself = resource.resourceType === 'Consent' || about.has(resource.resourceType)
  return !itself || contained.some(({ resourceType }) => !about.has(resourceType))
}
