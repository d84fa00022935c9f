import { AppError, type Fault } from '../errors.ts'
import { claimFaults } from './claimed-profiles.ts'
import { computedMarkFaults } from './computed-marks.ts'
import { isObject } from './element.ts'
import { parseBody } from './json-body.ts'
import type { Provenance } from './r4/types.ts'
import { isTyped, validateResource } from './validate.ts'

/** Where something comes from, as its sender says; the service adds what that is and when it came. */
export type ProvenanceOf = (kept: {
  /** `Observation/1/_history/2` */
  readonly target: string
  /** Instant of the recording. */
  readonly recorded: string
}) => Provenance

const AT = 'http."X-Provenance"'

/**
 * The header X-Provenance (R4 6.3.4.2.1): a Provenance in JSON without target. When it was recorded is ours
 * to say, as are id and version. Throws with all faults.
 *
 * @param bytes of the header; JSON in ASCII, or in UTF-8
 */
export function provenanceHeader(bytes: Uint8Array): ProvenanceOf {
  const parsed = parseBody(bytes)
  if (!parsed.ok) throw refused(parsed.faults.map((fault) => ({ ...fault, expression: AT })))
  const { value } = parsed
  if (!isObject(value) || value['resourceType'] !== 'Provenance')
    throw refused([faultAt(AT, 'structure', 'The header holds one Provenance, as JSON.')])
  if (value['target'] !== undefined)
    throw refused([
      faultAt(
        'Provenance.target',
        'business-rule',
        'The target is what is written with this request; it is left out here.',
      ),
    ])
  const made: ProvenanceOf = ({ target, recorded }) => {
    const whole: unknown = { ...value, target: [{ reference: target }], recorded }
    const faults = validateResource(whole)
    if (faults.length > 0) throw refused(faults)
    return asSent(typed(whole))
  }
  made({ target: 'Basic/1/_history/1', recorded: '2026-01-01T00:00:00Z' })
  return made
}

/** What holds for a Provenance that is sent by itself holds in the header too. */
function asSent(resource: Provenance): Provenance {
  const marks = computedMarkFaults(resource, 'Provenance')
  const faults = [...marks, ...claimFaults(resource, 'Provenance', marks)]
  if (faults.length > 0)
    throw new AppError('invalid-resource', 'The header X-Provenance cannot be taken.', faults)
  return resource
}

/** It was just found valid, and of this type. */
function typed(whole: unknown): Provenance {
  const resource = whole as Provenance
  if (!isTyped(resource)) throw new Error('A Provenance is a type of ours')
  return resource
}

const faultAt = (expression: string, code: string, text: string): Fault => ({
  severity: 'error',
  code,
  expression,
  rule: 'provenance-header',
  text,
})

const refused = (faults: readonly Fault[]): AppError =>
  new AppError('invalid-request', 'The header X-Provenance cannot be taken.', faults)
