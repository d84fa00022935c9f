import { wornDevices } from '../../src/fhir/worn-devices.ts'
import { readScenario } from '../../src/demo/scenario.ts'
import type { DocumentFacts } from '../../src/documents/document-facts.ts'
import { civilDate } from '../../src/domain/calendar.ts'
import { GENERIC_SIZE_CHART } from '../../src/domain/tables/generic-size-chart.ts'
import { triage } from '../../src/domain/triage.ts'
import { paperRecord } from '../../src/fhir/paper-record.ts'
import type { Patient, Resource, ServiceRequest } from '../../src/fhir/r4/types.ts'
import { toChild } from '../../src/fhir/to-domain.ts'
import { factsOfDay } from './any-picture.ts'
import { RULES } from './rules.ts'

export const BASE_URL = 'https://clinic.example/fhir'
export const SOFTWARE = 'Footing 0.0.0-test'

/** What documents of an invented child are made from, as its bundle tells it. */
export interface SeedPapers {
  readonly name: string
  readonly facts: DocumentFacts
}

interface Bundle {
  readonly entry: readonly { readonly fullUrl: string; readonly resource: Resource }[]
}

const BASIS = { rules: RULES, chart: GENERIC_SIZE_CHART }

/** @param more resources that come on top of each bundle, with `Patient/…` as they are there */
export function seedPapers(
  more: (patient: string) => readonly Resource[] = () => [],
): SeedPapers[] {
  const { referenceDay, children } = readScenario()
  const on = civilDate(referenceDay)
  return children.map(({ file, bundle }) => {
    const sent = placed(bundle as Bundle)
    const patient = one(sent, 'Patient')
    const besides = more(patient.reference.replace('/_history/1', '')).map(
      (resource, index): Placed => ({
        reference: `${resource.resourceType}/more-${index}/_history/1`,
        resource,
      }),
    )
    const record: readonly Placed[] = [...sent, ...besides]
    const resources = record.map(({ resource }) => resource)
    const child = toChild(
      record,
      { ...patient, resource: patient.resource as Patient },
      {
        receivedOn: on,
        asOf: on,
      },
    )
    const worn = wornDevices(record, { asOf: on, chart: GENERIC_SIZE_CHART, baseUrl: BASE_URL })
    return {
      name: file.replace('.json', ''),
      facts: {
        ...factsOfDay(triage(child, on, BASIS), BASIS, worn),
        record: paperRecord({
          patient: patient.resource as Patient,
          referral: one(sent, 'ServiceRequest').resource as ServiceRequest,
          receivedOn: on,
          regime: 'hipaa',
          resources,
          find: (place) =>
            record.find(({ reference }) => reference.startsWith(`${place}/_history`))?.resource,
          baseUrl: BASE_URL,
        }),
        inputs: record.map(({ reference }) => reference),
        software: SOFTWARE,
      },
    }
  })
}

interface Placed {
  readonly reference: string
  readonly resource: Resource
}

function one(sent: readonly Placed[], type: Resource['resourceType']): Placed {
  const found = sent.find(({ resource }) => resource.resourceType === type)
  if (found === undefined) throw new Error(`There is no ${type}`)
  return found
}

/** With references as they are once it is kept. */
function placed({ entry }: Bundle): Placed[] {
  const places = entry.map(
    ({ fullUrl, resource }, index) => [fullUrl, `${resource.resourceType}/seed-${index}`] as const,
  )
  let text = JSON.stringify(entry)
  for (const [fullUrl, place] of places)
    text = text.replaceAll(`"reference":"${fullUrl}"`, `"reference":"${place}"`)
  const read = JSON.parse(text) as Bundle['entry']
  return read.map(({ resource }, index) => ({
    reference: `${places[index]?.[1] ?? ''}/_history/1`,
    resource,
  }))
}
