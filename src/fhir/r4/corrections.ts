/**
 * Where the npm copy of the official definitions says something else than the published 4.0.1
 * pages. Each was found by comparing every element with the StructureDefinitions and value sets of
 * hl7.fhir.r4.core 4.0.1 (CC0-1.0).
 */

/** Value sets that select some codes of a code system; the npm copy lists the whole system. */
export const CODE_LISTS: Readonly<Record<string, readonly string[]>> = {
  'task-intent': [
    'unknown',
    'proposal',
    'plan',
    'order',
    'original-order',
    'reflex-order',
    'filler-order',
    'instance-order',
    'option',
  ],
  'care-plan-intent': ['proposal', 'plan', 'order', 'option'],
  'care-plan-activity-kind': [
    'Appointment',
    'CommunicationRequest',
    'DeviceRequest',
    'MedicationRequest',
    'NutritionOrder',
    'Task',
    'ServiceRequest',
    'VisionPrescription',
  ],
  'type-restful-interaction': [
    'read',
    'vread',
    'update',
    'patch',
    'delete',
    'history-instance',
    'history-type',
    'create',
    'search-type',
  ],
  'system-restful-interaction': ['transaction', 'batch', 'search-system', 'history-system'],
}

/**
 * Type of an `id` element. The StructureDefinitions type the id of a resource as string; the page
 * (datatypes.html 2.24.0.1, resource.html 2.27.3) gives it the id rules. The id of an element is a
 * plain string, which the npm copy types as id.
 */
export function idType(ofResource: boolean): string {
  return ofResource ? 'id' : 'string'
}

/** Elements whose type the npm copy reduces to the FHIRPath system type. */
export const ELEMENT_TYPES: Readonly<Record<string, string>> = { 'Extension.url': 'uri' }

/** Profiles on Quantity that the npm copy lists beside the types, and the abstract types. */
export const NOT_TYPES: ReadonlySet<string> = new Set([
  'MoneyQuantity',
  'SimpleQuantity',
  'Resource',
  'DomainResource',
  'BackboneElement',
])
