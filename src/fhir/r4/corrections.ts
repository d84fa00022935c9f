/**
 * Where the npm copy of the official definitions says something else than the published 4.0.1
 * pages. Each was found by comparing every element with the StructureDefinitions and value sets of
 * hl7.fhir.r4.core 4.0.1 (CC0-1.0).
 */

const CURRENCIES = `
  AED AFN ALL AMD ANG AOA ARS AUD AWG AZN BAM BBD BDT BGN BHD BIF BMD BND BOB BOV BRL BSD BTN BWP BYN BZD CAD CDF CHE
  CHF CHW CLF CLP CNY COP COU CRC CUC CUP CVE CZK DJF DKK DOP DZD EGP ERN ETB EUR FJD FKP GBP GEL GHS GIP GMD GNF GTQ
  GYD HKD HNL HRK HTG HUF IDR ILS INR IQD IRR ISK JMD JOD JPY KES KGS KHR KMF KPW KRW KWD KYD KZT LAK LBP LKR LRD LSL
  LYD MAD MDL MGA MKD MMK MNT MOP MRO MRU MUR MVR MWK MXN MXV MYR MZN NAD NGN NIO NOK NPR NZD OMR PAB PEN PGK PHP PKR
  PLN PYG QAR RON RSD RUB RWF SAR SBD SCR SDG SEK SGD SHP SLE SLL SOS SRD SSP STD STN SVC SYP SZL THB TJS TMT TND TOP
  TRY TTD TWD TZS UAH UGX USD USN UYI UYU UYW UZS VED VEF VES VND VUV WST XAD XAF XAG XAU XBA XBB XBC XBD XCD XCG XDR
  XOF XPD XPF XPT XSU XTS XUA XXX YER ZAR ZMW ZWG ZWL
`

/**
 * Value sets that select some codes of a code system, of which the npm copy lists the whole system, and those that
 * it does not list at all: the currencies of ISO 4217 that were in force at some time since R4 was published, with
 * its funds, metals and codes for tests (from memory; every currency that ICU 78 knows as one in use is among them), and
 * the confidentiality that a Composition may have (v3-ConfidentialityClassification).
 */
export const CODE_LISTS: Readonly<Record<string, readonly string[]>> = {
  currencies: CURRENCIES.trim().split(/\s+/),
  'v3-ConfidentialityClassification': ['U', 'L', 'M', 'N', 'R', 'V'],
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
 * Code systems of value sets that the npm copy does not list. Of media types (BCP 13) and languages (BCP 47) there are
 * too many to list: their form is checked (code-forms.ts).
 */
export const UNLISTED_SYSTEMS: Readonly<Record<string, string>> = {
  currencies: 'urn:iso:std:iso:4217',
  'v3-ConfidentialityClassification': 'http://terminology.hl7.org/CodeSystem/v3-Confidentiality',
  mimetypes: 'urn:ietf:bcp:13',
  'all-languages': 'urn:ietf:bcp:47',
}

/** Elements that are bound to media types, and that R4's own examples give as `json` or `xml`. */
export const LOOSE_MEDIA_TYPES: ReadonlySet<string> = new Set([
  'CapabilityStatement.format',
  'TestScript.setup.action.operation.accept',
  'TestScript.setup.action.operation.contentType',
  'TestScript.setup.action.assert.contentType',
])

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
