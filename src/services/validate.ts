import type { CivilDate } from '../domain/calendar.ts'
import { AppError, type Fault } from '../errors.ts'
import { beside, claimFaults } from '../fhir/claimed-profiles.ts'
import { faultsByProfile, profileOf } from '../fhir/conformance/profile-faults.ts'
import { writeJson } from '../fhir/decimal.ts'
import { isObject } from '../fhir/element.ts'
import { parseText } from '../fhir/json-body.ts'
import { bearsOurMark } from '../fhir/computed-marks.ts'
import { toOutcome } from '../fhir/outcome.ts'
import { profileFaults } from '../fhir/profiles.ts'
import { isResourceType } from '../fhir/resource-types.ts'
import { isResource, validateResource } from '../fhir/validate.ts'
import type { ValidateParameters } from '../fhir/validate-parameters.ts'
import { isKnownProfile, profiledType } from '../fhir/validated-profile.ts'
import type { Caller } from '../security/access-token.ts'
import type { Tx } from '../storage/transaction.ts'
import type { Context } from './context.ts'
import { latestDay } from './day.ts'
import { keptType, readIn } from './resources.ts'
import { isStableId } from './stable-id.ts'
import { unitOfWork } from './unit-of-work.ts'
import {
  danglingFaults,
  deletionFaults,
  errorAt,
  stateFaults,
  writeFaults,
} from './validated-write.ts'

export interface ValidateRequest {
  readonly type: string
  /** At instance level; undefined at type level. */
  readonly id: string | undefined
  /** Throws where the body cannot be read; its faults are then the answer. */
  readonly asked: () => ValidateParameters
  /** Canonical URLs of our own profiles. */
  readonly knownProfiles: ReadonlySet<string>
}

const ALL_VALID = writeJson({
  resourceType: 'OperationOutcome',
  issue: [
    { severity: 'information', code: 'informational', details: { text: 'No fault was found.' } },
  ],
})

/**
 * Is the resource valid, and by the mode, would this service take it, or delete it? The answer is an
 * OperationOutcome with every fault, or with one issue that says that there is none. Nothing is stored. Throws
 * where nothing can be validated.
 */
export async function validate(
  context: Context,
  caller: Caller,
  request: ValidateRequest,
): Promise<string> {
  const { type, id } = request
  const { type: ofRow } = keptType(type)
  const need = { type: ofRow, letter: id === undefined ? 'c' : 'r' } as const
  const faults = await unitOfWork(context, caller, [need], (tx) =>
    found(() => faultsOf(tx, context, caller, request)),
  )
  if (faults.length === 0) return ALL_VALID
  return writeJson(toOutcome(new AppError('invalid-resource', 'Not valid', faults)).outcome)
}

/** What is refused for a fault of the body is an answer here; any other refusal stays one. */
async function found(work: () => Promise<readonly Fault[]>): Promise<readonly Fault[]> {
  try {
    return await work()
  } catch (error) {
    if (error instanceof AppError && error.kind === 'malformed-body' && error.faults.length > 0)
      return error.faults
    throw error
  }
}

async function faultsOf(
  tx: Tx,
  context: Context,
  caller: Caller,
  { type, id, asked, knownProfiles }: ValidateRequest,
): Promise<readonly Fault[]> {
  const { resource: sent, mode, profile, placeOf } = asked()
  if (profile !== undefined && !isKnownProfile(profile, knownProfiles))
    throw cannotRun(placeOf('profile'), 'This service does not know this profile.', 'not-found')
  if (mode === 'profile' && profile === undefined)
    throw cannotRun(placeOf('profile'), 'The mode profile needs the parameter profile.')
  const stored = id === undefined ? undefined : await readIn(tx, context, caller, { type, id })
  if (id === undefined && (mode === 'update' || mode === 'delete'))
    throw cannotRun(
      placeOf('mode'),
      `The mode ${mode} is asked of one resource, by its id in the address.`,
    )
  if (mode === 'delete') return deletionFaults(tx, caller, { type, id: id ?? '' })
  const resource = sent ?? (stored === undefined ? undefined : storedValue(stored.body))
  if (resource === undefined) throw cannotRun(placeOf('resource'), 'A resource is needed.')
  // What was computed here keeps no rule of what may be sent.
  const computed = sent === undefined && id !== undefined && isStableId(id)
  const day = computed ? undefined : latestDay(context)
  const writes = mode === 'create' || mode === 'update'
  const content = contentFaults({ type, resource, profile, day, writes })
  if (!writes || !hasType(resource, type)) return content
  const writing = { mode, type, id, resource }
  if (!isResource(resource)) return [...content, ...writeFaults(mode, writing)]
  const whole = { ...writing, resource }
  const state = content.length > 0 ? [] : await stateFaults(tx, context, caller, whole)
  const dangling = await danglingFaults(tx, context, caller, whole)
  return [...content, ...writeFaults(mode, writing), ...state, ...dangling]
}

interface Content {
  readonly type: string
  readonly resource: unknown
  readonly profile: string | undefined
  /** The latest day that it is anywhere on earth; undefined where our profiles do not apply. */
  readonly day: CivilDate | undefined
  /** Is it also asked whether it may be sent? */
  readonly writes: boolean
}

/** By R4, by our profiles where it is valid R4, and by the type that was asked for. */
function contentFaults({ type, resource, profile, day, writes }: Content): readonly Fault[] {
  const structure = validateResource(resource)
  const asked = profileOf(profile)
  const named = asked?.type ?? profiledType(profile)
  const mismatch = `The address takes a ${type}.`
  const other =
    hasType(resource, type) || !isObject(resource) || !isResourceType(resource['resourceType'])
      ? []
      : [errorAt('type-mismatch', 'invalid', `${type}.resourceType`, mismatch)]
  const unprofiled =
    named === undefined || named === type
      ? []
      : [errorAt('profile-type', 'invalid', type, `The profile is one of ${named}.`)]
  if (structure.length > 0 || !hasType(resource, type) || !isResource(resource))
    return [...structure, ...other, ...unprofiled]
  const isComputedHere = !writes && bearsOurMark(resource)
  const ours =
    day === undefined || isComputedHere
      ? claimFaults(resource, type, [])
      : profileFaults(resource, type, day)
  const byProfile = asked?.type === type ? beside(ours, faultsByProfile(asked, resource)) : []
  return [...unprofiled, ...ours, ...byProfile]
}

const hasType = (resource: unknown, type: string): boolean =>
  isObject(resource) && resource['resourceType'] === type

function storedValue(body: string): unknown {
  const parsed = parseText(body)
  if (!parsed.ok) throw new Error('A stored resource cannot be read')
  return parsed.value
}

const cannotRun = (expression: string, text: string, code = 'required'): AppError =>
  new AppError('invalid-request', text, [errorAt('operation-parameter', code, expression, text)])
