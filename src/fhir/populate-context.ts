import { askedWrongly, type Fault } from '../errors.ts'
import { codesOf } from './codes.ts'
import { isObject, valuesAt } from './element.ts'
import { ownTarget, type Target } from './literal-reference.ts'
import type { Extension } from './r4/types.ts'
import { parameterRefused } from './sent-parameters.ts'

const SDC = 'http://hl7.org/fhir/uv/sdc'
const name = codesOf(`${SDC}/CodeSystem/launchContext`)

/** What the form says at its root that it is filled in from, by the names of Structured Data Capture. */
export const LAUNCH_CONTEXTS = [
  { name: 'patient', code: name('patient', 'Patient'), type: 'Patient' },
  { name: 'user', code: name('user', 'User'), type: 'Practitioner' },
] as const

export const launchContexts = (): Extension[] =>
  LAUNCH_CONTEXTS.map(({ code: { system, code, display }, type }) => ({
    url: `${SDC}/StructureDefinition/sdc-questionnaire-launchContext`,
    extension: [
      { url: 'name', valueCoding: { system, code, display } },
      { url: 'type', valueCode: type },
    ],
  }))

/** What the guide leaves to a server, as this one has it. */
export const POPULATE_DOCUMENTATION =
  'Parameters with response, an item for each question of the form referral-intake; an answer that was filled in names the version of the resource that it comes from. The subject is a Patient that is kept here. local is true where it is not given: answers come from all that the caller sees of the record; with false only from the resources that context names. Context patient is the subject, context user a Practitioner kept here, whose name answers who sends. What else a context brings is left out, and said in issues.'

/** One `context` that was sent. */
export interface GivenContext {
  readonly name: string
  readonly at: string
  /** The resource of ours that it refers to. */
  readonly target?: Target
  /** Said of what is not used: a server may leave out what it does not recognise. */
  readonly unused?: Fault
}

/** Every `context` of a Parameters body. Throws AppError for one without its parts. */
export function givenContexts(body: unknown, baseUrl: string): readonly GivenContext[] {
  const faults: Fault[] = []
  const found = valuesAt(body, 'parameter').flatMap((parameter, index): GivenContext[] => {
    if (!isObject(parameter) || parameter['name'] !== 'context') return []
    const at = `Parameters.parameter[${index}]`
    const parts = (wanted: string) =>
      valuesAt(parameter, 'part').filter((part) => isObject(part) && part['name'] === wanted)
    const [named] = parts('name').flatMap((part) => valuesAt(part, 'valueString'))
    const content = parts('content')
    if (typeof named === 'string' && content.length > 0)
      return content.map((part) => contextOf({ name: named, at }, part, baseUrl))
    faults.push(parameterRefused(at, 'A context has a part name (valueString) and a part content.'))
    return []
  })
  if (faults.length > 0) throw askedWrongly(faults)
  return found
}

function contextOf(
  of: Pick<GivenContext, 'name' | 'at'>,
  part: unknown,
  baseUrl: string,
): GivenContext {
  if (!LAUNCH_CONTEXTS.some((one) => one.name === of.name))
    return { ...of, unused: unused(of.at, 'The form declares no launch context of this name.') }
  const [reference] = valuesAt(part, 'valueReference.reference')
  const target = ownTarget(reference, baseUrl)
  if (target === undefined)
    return { ...of, unused: unused(of.at, 'Only a reference to what is kept here is used.') }
  return { ...of, target }
}

/** What is used is of the type that the form declares, one for each name, and the patient is the subject. */
export function contextFaults(contexts: readonly GivenContext[], subject: Target): Fault[] {
  const used = contexts.filter(({ target }) => target !== undefined)
  return used.flatMap(({ name: of, at, target }, index) => {
    const declared = LAUNCH_CONTEXTS.find((one) => one.name === of)
    if (target?.type !== declared?.type)
      return [parameterRefused(at, `The content of ${of} is a ${declared?.type}.`)]
    if (used.slice(0, index).some((one) => one.name === of))
      return [parameterRefused(at, `One resource at most is the ${of}.`)]
    return of === 'patient' && target?.id !== subject.id
      ? [parameterRefused(at, 'The patient is the subject.')]
      : []
  })
}

export const unused = (expression: string, text: string): Fault => ({
  severity: 'warning',
  code: 'not-supported',
  expression,
  rule: 'populate-context',
  text: `${text} It was left out.`,
})
