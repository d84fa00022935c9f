import { readFileSync } from 'node:fs'
import { validateResource } from '../../src/fhir/validate.ts'
import { referralParts } from '../helpers/referral.ts'
import { contest, type Result } from './rounds.ts'

const EXAMPLE = new URL('../cases/r4/examples/DeviceRequest-insulinpump.json', import.meta.url)

/**
 * Validation of resources (structure, narrative, invariants) against JSON.parse of the same text: a published
 * example, and the parts of an invented referral.
 */
export async function validation(): Promise<Result> {
  const texts = [
    readFileSync(EXAMPLE, 'utf8'),
    ...[...referralParts({ key: 'bench' }).values()].map(({ resource }) =>
      JSON.stringify(resource),
    ),
  ]
  const parsed: unknown[] = texts.map((text): unknown => JSON.parse(text))
  return contest({
    name: 'validation ÷ JSON.parse of the same resources (rate)',
    work: async () => {
      for (const resource of parsed) validateResource(resource)
    },
    limit: async () => {
      for (const text of texts) JSON.parse(text)
    },
    times: 200,
  })
}
