import { GENERIC_SIZE_CHART } from '../../src/domain/tables/generic-size-chart.ts'
import { civilDate } from '../../src/domain/calendar.ts'
import { triage } from '../../src/domain/triage.ts'
import type { Resource } from '../../src/fhir/r4/types.ts'
import { toChild } from '../../src/fhir/to-domain.ts'
import { referralParts } from '../helpers/referral.ts'
import { RULES } from '../helpers/rules.ts'
import { median } from './rounds.ts'

/** The first quarter is left out: a service that has just started has not compiled its rules yet. */
const CHILDREN = 2000
const LIMIT_MS = 1

/** Facts to findings of one child with everything recorded, in milliseconds; and the share of the limit. */
export function triageOfOne(): { readonly ms: number; readonly ofLimit: number } {
  const asOf = civilDate('2026-03-02')
  const record = [...referralParts({ key: 'bench' }).values()].map(({ resource }, index) => ({
    reference: `${String(resource['resourceType'])}/${index}/_history/1`,
    resource: resource as unknown as Resource,
  }))
  const patient = record.find(({ resource }) => resource.resourceType === 'Patient')
  if (patient?.resource.resourceType !== 'Patient') throw new Error('There is no patient')
  const of = { reference: patient.reference, resource: patient.resource }
  const child = toChild(record, of, { receivedOn: asOf, asOf })
  const times = Array.from({ length: CHILDREN }, () => {
    const start = performance.now()
    triage(child, asOf, { rules: RULES, chart: GENERIC_SIZE_CHART })
    return performance.now() - start
  })
  const ms = median(times.slice(CHILDREN / 4))
  return { ms, ofLimit: ms / LIMIT_MS }
}
