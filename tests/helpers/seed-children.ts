import { type CivilDate, civilDate } from '../../src/domain/calendar.ts'
import type { Child } from '../../src/domain/child.ts'
import { readScenario } from '../../src/demo/scenario.ts'
import type { Patient, Resource } from '../../src/fhir/r4/types.ts'
import { toChild } from '../../src/fhir/to-domain.ts'

/** The invented children of `seeds/` as their bundles tell of them, received on the reference day. */
export interface SeedChild {
  readonly name: string
  readonly child: Child
  readonly asOf: CivilDate
}

export function seedChildren(): SeedChild[] {
  const { referenceDay, children } = readScenario()
  return children.map(({ file, bundle }) => {
    const record = (bundle as Sent).entry.map(({ resource }, index) => ({
      reference: `${resource.resourceType}/${index}/_history/1`,
      resource,
    }))
    const patient = record.find(isPatient)
    if (patient === undefined) throw new Error(`${file} has no Patient`)
    const days = { receivedOn: civilDate(referenceDay), asOf: referenceDay }
    return {
      name: file.replace('.json', ''),
      child: toChild(record, patient, days),
      asOf: referenceDay,
    }
  })
}

interface Sent {
  readonly entry: readonly { readonly resource: Resource }[]
}

const isPatient = (entry: {
  readonly reference: string
  readonly resource: Resource
}): entry is { readonly reference: string; readonly resource: Patient } =>
  entry.resource.resourceType === 'Patient'
