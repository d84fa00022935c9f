import { askedWrongly, type Fault } from '../errors.ts'
import { SUBJECT } from './about-patient-parameters.ts'
import { ANSWER_FORM, type AskedParameter, namesOf, TEXT, YES_OR_NO } from './asked-parameter.ts'
import { formUrl, INTAKE_FORM } from './conformance/referral-plan.ts'
import { isObject, valuesAt } from './element.ts'
import { ownTarget, type Target } from './literal-reference.ts'
import {
  contextFaults,
  type GivenContext,
  givenContexts,
  LAUNCH_CONTEXTS,
} from './populate-context.ts'
import { parameterFault, untakenFaults } from './query-values.ts'

/** What `$populate` of Structured Data Capture is asked, read. */
export interface PopulateRequest {
  readonly patientId: string
  /** The Practitioner who fills the form in. */
  readonly userId: string | undefined
  /** What may be filled in: all that is known of the child, or only what the context names. */
  readonly from: 'record' | 'patient' | 'nothing'
  /** What was sent and is not used. */
  readonly unused: readonly Fault[]
}

interface Sent {
  /** Of address and body, as names and values. */
  readonly pairs: readonly (readonly [name: string, value: string])[]
  readonly body: unknown
  readonly baseUrl: string
}

/** What may stand in the address; a context has parts and comes in Parameters. */
export const POPULATE_PARAMETERS: readonly AskedParameter[] = [
  SUBJECT,
  {
    name: 'local',
    description: 'Whether what is known here is filled in; it is where nothing is said.',
    value: YES_OR_NO,
  },
]
/** By these a form is named where the operation is asked of the type; each version of the guide has its own. */
export const FORM_PARAMETERS: readonly AskedParameter[] = [
  {
    name: 'questionnaire',
    description: `The form, by its canonical or as Questionnaire/${INTAKE_FORM}. One of these names is needed.`,
    value: TEXT,
  },
  { name: 'canonical', description: 'The same by another name of the guide.', value: TEXT },
  { name: 'questionnaireRef', description: 'The same by another name of the guide.', value: TEXT },
  {
    name: 'identifier',
    description: 'A form by its identifier; none is found so, as ours have none.',
    value: TEXT,
  },
]
const FORM_NAMES = namesOf(FORM_PARAMETERS)
const KNOWN = [...namesOf([...POPULATE_PARAMETERS, ...ANSWER_FORM]), 'context', ...FORM_NAMES]

/** Throws AppError with every fault. */
export function populateParameters({ pairs, body, baseUrl }: Sent): PopulateRequest {
  const contexts = givenContexts(body, baseUrl)
  const of = (name: string) => pairs.filter(([one]) => one === name).map(([, value]) => value)
  const [patient, user] = LAUNCH_CONTEXTS.map(({ name }) => targetOf(contexts, name))
  const subject = of('subject').length === 0 ? patient : ownTarget(of('subject')[0], baseUrl)
  const [local = 'true'] = of('local')
  const inAddress = of('context').length > valuesAt(body, 'parameter').filter(isContext).length
  const faults = [
    ...untakenFaults(pairs, KNOWN),
    ...(inAddress ? [fault('context', 'value', 'It has parts: send it in Parameters.')] : []),
    ...(subject?.type === 'Patient' && of('subject').length < 2
      ? contextFaults(contexts, subject)
      : [fault('subject', 'required', 'One Patient is needed, Patient/[id].')]),
    ...(['true', 'false'].includes(local) && of('local').length < 2
      ? []
      : [fault('local', 'value', 'true or false.')]),
  ]
  if (faults.length > 0 || subject === undefined) throw askedWrongly(faults)
  const named = patient === undefined ? 'nothing' : 'patient'
  return {
    patientId: subject.id,
    userId: user?.id,
    from: local === 'true' ? 'record' : named,
    unused: contexts.flatMap(({ unused }) => unused ?? []),
  }
}

const fault = parameterFault
const isContext = (one: unknown): boolean => isObject(one) && one['name'] === 'context'

const targetOf = (contexts: readonly GivenContext[], name: string): Target | undefined =>
  contexts.find((one) => one.name === name && one.target !== undefined)?.target

/** The form that is asked for by its canonical or a reference; undefined for any other. Throws where none is. */
export function formAsked(
  { pairs, baseUrl }: Omit<Sent, 'body'>,
  version: string,
): string | undefined {
  const named = pairs.filter(([name]) => FORM_NAMES.includes(name))
  const [form] = named
  if (form === undefined || named.length > 1)
    throw askedWrongly([
      fault('questionnaire', 'required', 'One form is needed, by its canonical or a reference.'),
    ])
  const url = formUrl(INTAKE_FORM)
  const place = `Questionnaire/${INTAKE_FORM}`
  const names = [url, `${url}|${version}`, place, `${baseUrl}/${place}`]
  return form[0] !== 'identifier' && names.includes(form[1]) ? INTAKE_FORM : undefined
}
