import { chosen, distinct, has, type Invariant, invariant } from './invariant.ts'
import type { CodeSystemConcept } from './r4/types.ts'

const INCLUDED = 'ValueSet.compose.include'
const EXPANDED = 'ValueSet.expansion.contains'
const PARAMETER = 'OperationDefinition.parameter'

function allConcepts(concepts: readonly CodeSystemConcept[]): CodeSystemConcept[] {
  return concepts.flatMap((one) => [one, ...allConcepts(one.concept ?? [])])
}

const VALUE_SET_INVARIANTS: readonly Invariant[] = [
  invariant(
    INCLUDED,
    ['vsd-1', 'What is included comes from a system or a value set'],
    (include) => has(include, 'valueSet') || has(include, 'system'),
  ),
  invariant(
    INCLUDED,
    ['vsd-2', 'Concepts and filters need a system'],
    (include) =>
      (include.concept === undefined && include.filter === undefined) || has(include, 'system'),
  ),
  invariant(
    INCLUDED,
    ['vsd-3', 'Concepts and filters exclude each other'],
    ({ concept, filter }) => concept === undefined || filter === undefined,
  ),
  invariant(
    EXPANDED,
    ['vsd-6', 'What is contained needs a code or a display'],
    (contains) => has(contains, 'code') || has(contains, 'display'),
  ),
  invariant(
    EXPANDED,
    ['vsd-9', 'What is not abstract needs a code'],
    // As published: where nothing is said about being abstract, the expression gives nothing.
    (contains) => has(contains, 'code') || contains.abstract !== false,
  ),
  invariant(
    EXPANDED,
    ['vsd-10', 'A code needs its system'],
    (contains) => !has(contains, 'code') || has(contains, 'system'),
  ),
]

const OPERATION_INVARIANTS: readonly Invariant[] = [
  invariant(
    PARAMETER,
    ['opd-1', 'A parameter needs a type or parts'],
    (parameter) => has(parameter, 'type') || parameter.part !== undefined,
  ),
  invariant(
    PARAMETER,
    ['opd-2', 'A searchType is for a parameter of type string only'],
    (parameter) =>
      !has(parameter, 'searchType') || parameter.type === undefined || parameter.type === 'string',
  ),
  invariant(
    PARAMETER,
    ['opd-3', 'A targetProfile is for the types Reference and canonical only'],
    (parameter) =>
      !has(parameter, 'targetProfile') ||
      parameter.type === undefined ||
      parameter.type === 'Reference' ||
      parameter.type === 'canonical',
  ),
]

const TRIGGER_INVARIANTS: readonly Invariant[] = [
  invariant(
    'TriggerDefinition',
    ['trd-1', 'Data and timing exclude each other'],
    (trigger) => trigger.data === undefined || !chosen(trigger, 'timing'),
  ),
  invariant(
    'TriggerDefinition',
    ['trd-2', 'A condition needs data'],
    ({ condition, data }) => condition === undefined || data !== undefined,
  ),
  invariant(
    'TriggerDefinition',
    ['trd-3', 'A named event needs a name, a periodic one a timing, one of data its data'],
    (trigger) =>
      (trigger.type !== 'named-event' || has(trigger, 'name')) &&
      (trigger.type !== 'periodic' || chosen(trigger, 'timing')) &&
      (!(trigger.type ?? '').startsWith('data-') || trigger.data !== undefined),
  ),
  invariant(
    'DataRequirement.codeFilter',
    ['drq-1', 'A filter needs a path or a searchParam, not both'],
    (filter) => has(filter, 'path') !== has(filter, 'searchParam'),
  ),
  invariant(
    'DataRequirement.dateFilter',
    ['drq-2', 'A filter needs a path or a searchParam, not both'],
    (filter) => has(filter, 'path') !== has(filter, 'searchParam'),
  ),
]

/** Of resources and data types that define something. */
export const DEFINITIONAL_INVARIANTS: readonly Invariant[] = [
  invariant('CodeSystem', ['csd-1', 'Every code must be given once'], ({ concept }) =>
    distinct(allConcepts(concept ?? []), ({ code }) => code),
  ),
  ...VALUE_SET_INVARIANTS,
  ...OPERATION_INVARIANTS,
  invariant(
    'SearchParameter',
    ['spd-1', 'An xpath needs its xpathUsage'],
    (parameter) => !has(parameter, 'xpath') || has(parameter, 'xpathUsage'),
  ),
  invariant(
    'SearchParameter',
    ['spd-2', 'Only a parameter of type reference has a chain'],
    (parameter) =>
      !has(parameter, 'chain') || parameter.type === undefined || parameter.type === 'reference',
  ),
  ...TRIGGER_INVARIANTS,
]
