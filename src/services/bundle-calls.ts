import { AppError, askedWrongly, type Fault } from '../errors.ts'
import { profileUrls } from '../fhir/conformance/published.ts'
import { operationParameters } from '../fhir/operation-parameters.ts'
import type { CallOperation } from '../fhir/operations.ts'
import { parameterPairs } from '../fhir/parameter-pairs.ts'
import { patientMatchParameters } from '../fhir/patient-match-parameters.ts'
import { validateParameters } from '../fhir/validate-parameters.ts'
import type { Caller } from '../security/access-token.ts'
import { narrowedTypes } from '../security/scopes.ts'
import { refusedEntry } from './bundle-reads.ts'
import { type Context, softwareOf } from './context.ts'
import { documentsOf } from './docref.ts'
import { atEntry, inResource } from './entry-errors.ts'
import { everything } from './everything.ts'
import { evaluateFollowUp } from './follow-up.ts'
import { matchPatient } from './match.ts'
import { notForNarrowed } from './narrowed-sight.ts'
import { nextReferral } from './next-referral.ts'
import { proposePlan } from './plan.ts'
import { readEntry } from './response-entries.ts'
import { validate } from './validate.ts'

type Answering = (context: Context, caller: Caller, call: CallOperation) => Promise<string>

/** The operations that a batch answers: what reads and stores nothing. */
const ANSWERED: Readonly<Record<string, Answering>> = {
  'Patient/$everything': wholeRecord,
  'Patient/[id]/$everything': wholeRecord,
  'Patient/$match': (context, caller, { parameters, sent }) =>
    matchPatient(context, caller, () => asked(patientMatchParameters(parameters, sent))),
  'Task/$next': (context, caller) => nextReferral(context, caller),
  'DocumentReference/$docref': (context, caller, call) =>
    documentsOf(context, caller, pairsOf(call)),
  'ServiceRequest/[id]/$fitting-plan': (context, caller, call) =>
    proposePlan(context, caller, questionOf(call)),
  'ServiceRequest/[id]/$follow-up': (context, caller, call) =>
    evaluateFollowUp(context, caller, questionOf(call)),
}

/**
 * An operation that an entry of a batch calls, answered as if it were called by itself.
 *
 * @returns the entry of the response
 */
export async function answeredCall(
  context: Context,
  caller: Caller,
  call: CallOperation,
): Promise<string> {
  const { at, sent, name, headOnly } = call
  try {
    if (narrowedTypes(caller.scopes).length > 0 && name !== 'everything') throw notForNarrowed()
    const body = await answeringOf(call)(context, caller, call)
    return readEntry(headOnly ? undefined : body)
  } catch (error) {
    throw atEntry(at, inResource(at, sent, error))
  }
}

/** A transaction reads what it wrote itself, and no operation does. */
export const refusedCalls = (calls: readonly CallOperation[]): AppError =>
  new AppError(
    'invalid-request',
    'A transaction calls no operation.',
    calls.flatMap(
      ({ at }) =>
        refusedEntry(at, 'An operation is called by itself or in a batch, not in a transaction.')
          .faults,
    ),
  )

function answeringOf({ at, type, id, name }: CallOperation): Answering {
  if (name === 'validate' && type !== undefined) return validated
  const place = [type ?? [], id === undefined ? [] : '[id]', `$${name}`].flat().join('/')
  const known = Object.hasOwn(ANSWERED, place) ? ANSWERED[place] : undefined
  if (known !== undefined) return known
  throw refusedEntry(
    at,
    `A batch answers the operations $validate, ${Object.keys(ANSWERED).join(', ')}. Any other is called by itself.`,
  )
}

function validated(context: Context, caller: Caller, call: CallOperation): Promise<string> {
  const { type = '', id, parameters, sent } = call
  return validate(context, caller, {
    type,
    id,
    asked: () => asked(validateParameters(parameters, sent)),
    knownProfiles: profileUrls(softwareOf(context).version),
  })
}

function wholeRecord(context: Context, caller: Caller, call: CallOperation): Promise<string> {
  return everything(context, caller, { patientId: call.id, parameters: pairsOf(call) })
}

const pairsOf = ({ parameters, sent }: CallOperation): (readonly [string, string])[] => [
  ...parameters,
  ...(sent === undefined ? [] : parameterPairs(sent)),
]

function questionOf({ id: referralId = '', parameters, sent }: CallOperation) {
  const reading = operationParameters(parameters, sent)
  if (reading.ok) return { referralId, ...reading.parameters }
  throw askedWrongly(reading.faults)
}

function asked<T>(
  reading:
    | { readonly ok: true; readonly asked: T }
    | { readonly ok: false; readonly faults: readonly Fault[] },
): T {
  if (reading.ok) return reading.asked
  throw askedWrongly(reading.faults)
}
