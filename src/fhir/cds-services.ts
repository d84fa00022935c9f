import { EXCHANGE_CODES, GESTATION_CODES, SYSTEMS } from './codes.ts'

/** Hooks of CDS Hooks 2.0 at which the service gives advice. */
export const CDS_HOOKS = ['patient-view', 'order-sign'] as const
export type CdsHook = (typeof CDS_HOOKS)[number]

/** What a records system is to send along, by its key. */
export const PREFETCH_KEYS = ['patient', 'observations', 'conditions', 'referrals'] as const
export type PrefetchKey = (typeof PREFETCH_KEYS)[number]

/** A service as discovery lists it. */
export interface CdsService {
  readonly id: string
  readonly hook: CdsHook
  readonly title: string
  readonly description: string
  readonly usageRequirements: string
  readonly prefetch: Readonly<Record<PrefetchKey, string>>
}

const OBSERVED = [
  // Every code of the system: a list of them all is longer than some servers take.
  `${SYSTEMS.observation}|`,
  ...GESTATION_CODES.map(({ system, code }) => `${system}|${code}`),
].join(',')
const { system, code } = EXCHANGE_CODES.referral

/** Reads and searches of the small set that every records system has. */
const PREFETCH: CdsService['prefetch'] = {
  patient: 'Patient/{{context.patientId}}',
  observations: `Observation?patient={{context.patientId}}&code=${OBSERVED}&_sort=-date`,
  conditions: 'Condition?patient={{context.patientId}}',
  referrals: `ServiceRequest?patient={{context.patientId}}&code=${system}|${code}`,
}

const USAGE =
  'The FHIR server of the caller is never asked, and fhirAuthorization is not needed: patient, observations and conditions come with the call, all pages of them in one Bundle, else the answer is 412. Referrals may be left out; then nothing is said of one that is under way. A child outside the ages of the service, or of whom nothing relevant is known, gets no card; nor does an order that is no referral for orthotic assessment, whatever came with it. The issuer of the JWT is a registered client, by its id or by the address of its keys. Decision support for a qualified professional, not a diagnosis.'

export const CDS_SERVICES: readonly CdsService[] = [
  {
    id: 'orthotic-referral-view',
    hook: 'patient-view',
    title: 'Is a referral for orthotic assessment due?',
    description:
      'Suitability for a flexible supramalleolar orthosis with its reasons, urgency with its parts, what is still missing, and a draft referral.',
    usageRequirements: USAGE,
    prefetch: PREFETCH,
  },
  {
    id: 'orthotic-referral-sign',
    hook: 'order-sign',
    title: 'Is the referral for orthotic assessment complete?',
    description:
      'For draft referrals for orthotic assessment among the orders: suitability, urgency and what is still missing, and the draft with finding and priority in it. Where a referral of the child is under way already, that, and no draft. Other orders get no card.',
    usageRequirements: USAGE,
    prefetch: PREFETCH,
  },
]
