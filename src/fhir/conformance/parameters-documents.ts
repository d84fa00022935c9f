import { DOCUMENT_KINDS } from '../document-codes.ts'
import { PAPER_SIZES } from '../document-parameters.ts'
import type { OperationDefinitionParameter } from '../r4/types.ts'

/** The parameters that operations on documents take. */
export const DOCUMENT_PARAMETERS: Readonly<Record<string, OperationDefinitionParameter>> = {
  documentKind: {
    name: 'kind',
    use: 'in',
    min: 1,
    max: '1',
    documentation: `Which document: ${DOCUMENT_KINDS.join(', ')}.`,
    type: 'code',
  },
  paper: {
    name: 'paper',
    use: 'in',
    min: 0,
    max: '1',
    documentation: `The size of the PDF's pages: ${PAPER_SIZES.join(' or ')}; A4 when it is not given.`,
    type: 'code',
  },
  person: {
    name: 'person',
    use: 'in',
    min: 1,
    max: '1',
    documentation:
      'Who signs off: a Practitioner or a PractitionerRole of the clinic, with a name and a qualification on record.',
    type: 'Reference',
  },
  release: {
    name: 'release',
    use: 'in',
    min: 0,
    max: '1',
    documentation:
      'Whether the partner gets the sheet for the family; it does not unless it is said.',
    type: 'boolean',
  },
}
