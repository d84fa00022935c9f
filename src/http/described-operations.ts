import { ANSWER_FORM, type AskedParameter } from '../fhir/asked-parameter.ts'
import { askedInAddress } from '../fhir/conformance/asked-operations.ts'
import type { Operation } from '../fhir/conformance/operation.ts'
import type { Described, DescribedBody } from './described.ts'

const FHIR_JSON = 'application/fhir+json'

/** A resource in a body; which one is said in words, as its type is for the code that reads it. */
export const resourceBody = (description: string, required = true): DescribedBody => ({
  description,
  required,
  content: { [FHIR_JSON]: { schema: { description } } },
})

const PARAMETERS = {
  type: 'object',
  properties: { resourceType: { const: 'Parameters' } },
  required: ['resourceType'],
}

export const parametersBody = (required: boolean): DescribedBody => ({
  description: required
    ? 'Parameters with what is asked.'
    : 'Parameters, where what is asked does not stand in the address.',
  required,
  content: { [FHIR_JSON]: { schema: PARAMETERS } },
})

/** Of what is answered in other forms too. */
export const formatAmong = (...forms: readonly string[]): AskedParameter => ({
  ...ANSWER_FORM[0],
  description: `The media type of the answer, before the header Accept: ${forms.join(', ')}, or json for a resource.`,
})

/** An operation that is asked by its address, or by a Parameters resource. */
export const askedBy = (query: readonly AskedParameter[]): Described => ({
  query,
  body: parametersBody(false),
})

/** The same of an operation of ours, by its OperationDefinition. */
export const askedAsDefined = (
  type: Operation['type'],
  code: string,
  ...more: readonly AskedParameter[]
): Described => askedBy([...askedInAddress(type, code), ...more])
