import type { Invariant } from './invariant.ts'
import { BUNDLE_INVARIANTS } from './invariants-bundle.ts'
import { CAPABILITY_INVARIANTS } from './invariants-capability.ts'
import { CLINICAL_INVARIANTS } from './invariants-clinical.ts'
import { DATA_TYPE_INVARIANTS } from './invariants-data-types.ts'
import { DEFINITIONAL_INVARIANTS } from './invariants-definitional.ts'
import { ELEMENT_DEFINITION_INVARIANTS } from './invariants-element-definition.ts'
import { QUESTIONNAIRE_INVARIANTS } from './invariants-questionnaire.ts'
import { RECORD_INVARIANTS } from './invariants-records.ts'
import { STRUCTURE_DEFINITION_INVARIANTS } from './invariants-structure-definition.ts'

/**
 * The official invariants that hang on one node, by their official key. To add one is to add a row
 * to its list. ref-1 and dom-2 to dom-5 look beyond a node and are checked in references.ts and
 * structure.ts, txt-1 and txt-2 in narrative.ts, ele-1 by refusing what is empty.
 *
 * Not checked: ppc-2 to ppc-5 are printed with the code system `something` and so never apply; eld-11 as
 * printed holds of whatever has types, and eld-19 of every path with a letter in it.
 */
export const INVARIANTS: readonly Invariant[] = [
  ...DATA_TYPE_INVARIANTS,
  ...BUNDLE_INVARIANTS,
  ...CLINICAL_INVARIANTS,
  ...QUESTIONNAIRE_INVARIANTS,
  ...CAPABILITY_INVARIANTS,
  ...RECORD_INVARIANTS,
  ...DEFINITIONAL_INVARIANTS,
  // Of a type that comes only inside others: an applied plan contains one.
  {
    on: 'RequestGroup.action',
    key: 'rqg-1',
    text: 'An action has a resource or actions, not both',
    holds: (action) => 'resource' in action !== 'action' in action,
  },
  ...STRUCTURE_DEFINITION_INVARIANTS,
  ...ELEMENT_DEFINITION_INVARIANTS,
]

/** The invariants of one type or nested part, for instance of `Patient.contact`. */
export function invariantsOf(type: string): readonly Invariant[] {
  return INVARIANTS.filter(({ on }) => on === type)
}
