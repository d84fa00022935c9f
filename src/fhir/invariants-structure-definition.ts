import { chosen, distinct, every, has, type Invariant, invariant } from './invariant.ts'
import type { ElementDefinition, StructureDefinition } from './r4/types.ts'

const ON = 'StructureDefinition'
const SNAPSHOT = 'StructureDefinition.snapshot'

type Elements = readonly ElementDefinition[] | undefined
/** The definitions of R4 itself, for which some rules are alone. */
const isOfR4 = ({ url }: StructureDefinition): boolean =>
  (url ?? '').startsWith('http://hl7.org/fhir/StructureDefinition')

const isRoot = ({ path }: ElementDefinition): boolean => path !== undefined && !path.includes('.')

const everyElement = (
  { snapshot, differential }: StructureDefinition,
  holds: (element: ElementDefinition) => boolean,
): boolean => every(snapshot?.element, holds) && every(differential?.element, holds)

const allHaveIds = (elements: Elements): boolean => every(elements, (one) => has(one, 'id'))

const SYSTEM_TYPE = /^http:\/\/hl7\.org\/fhirpath\/System\.[A-Z][A-Za-z]+$/

const typesAre = (elements: Elements, pattern: RegExp): boolean =>
  every(elements, ({ type }) =>
    every(type, ({ code }) => code === undefined || pattern.test(code) || SYSTEM_TYPE.test(code)),
  )

const OF_THE_WHOLE: readonly Invariant[] = [
  invariant(
    ON,
    ['sdf-4', 'What is not abstract needs a baseDefinition'],
    (definition) => definition.abstract || has(definition, 'baseDefinition'),
  ),
  invariant(
    ON,
    ['sdf-5', 'A constraint of Extension needs a context'],
    // As published: where no derivation is given, the expression gives nothing.
    ({ type, derivation, context }) =>
      type !== 'Extension' || derivation !== 'constraint' || context !== undefined,
  ),
  invariant(
    ON,
    ['sdf-6', 'A snapshot or a differential is needed'],
    ({ snapshot, differential }) => snapshot !== undefined || differential !== undefined,
  ),
  invariant(
    ON,
    ['sdf-18', 'A contextInvariant is for the type Extension only'],
    ({ contextInvariant, type }) =>
      contextInvariant === undefined || type === undefined || type === 'Extension',
  ),
  invariant(
    'StructureDefinition.mapping',
    ['sdf-2', 'A mapping needs a name or a uri'],
    (mapping) => has(mapping, 'name') || has(mapping, 'uri'),
  ),
]

const OF_ROOTS: readonly Invariant[] = [
  invariant(ON, ['sdf-9', 'The root has no label, code or requirements'], (definition) =>
    everyElement(
      definition,
      (one) =>
        !isRoot(one) || (!has(one, 'label') && one.code === undefined && !has(one, 'requirements')),
    ),
  ),
  invariant(
    ON,
    ['sdf-11', 'The first element of the snapshot is the type'],
    ({ kind, type, snapshot }) => {
      const path = snapshot?.element[0]?.path
      return kind === 'logical' || path === undefined || type === undefined || path === type
    },
  ),
  invariant(
    ON,
    ['sdf-15', 'The first element of the snapshot has no type'],
    ({ kind, snapshot }) => kind === 'logical' || snapshot?.element[0]?.type === undefined,
  ),
  invariant(
    ON,
    ['sdf-15a', 'A first element of the differential that is the root has no type'],
    ({ kind, differential }) => {
      const first = differential?.element[0]
      return kind === 'logical' || first === undefined || !isRoot(first) || first.type === undefined
    },
  ),
  invariant(ON, ['sdf-23', 'The root has no sliceName'], (definition) =>
    everyElement(definition, (one) => !isRoot(one) || !has(one, 'sliceName')),
  ),
  invariant(
    'StructureDefinition.differential',
    ['sdf-20', 'The root of a differential is not sliced'],
    ({ element }) => every(element, (one) => !isRoot(one) || one.slicing === undefined),
  ),
]

const OF_PATHS: readonly Invariant[] = [
  invariant(
    ON,
    ['sdf-8', 'The snapshot begins with the type, and all else is below its first element'],
    ({ kind, type, snapshot }) => {
      const [first, ...tail] = snapshot?.element ?? []
      const root = first?.path
      if (root === undefined || type === undefined) return true
      return (
        (kind === 'logical' || root === type) &&
        every(tail, ({ path }) => path === undefined || path.startsWith(`${root}.`))
      )
    },
  ),
  invariant(
    ON,
    ['sdf-8a', 'The differential begins with the type, and all else is below it'],
    ({ kind, type, differential }) => {
      const [first, ...tail] = differential?.element ?? []
      const path = first?.path
      if (path === undefined || type === undefined) return true
      const root = path.replace(/\..*/s, '')
      return (
        (kind === 'logical' || path.startsWith(type)) &&
        every(tail, (one) => one.path === undefined || one.path.startsWith(`${root}.`))
      )
    },
  ),
  invariant(
    ON,
    ['sdf-1', 'Every path must be given once, unless it is a constraint'],
    ({ derivation, snapshot }) =>
      derivation !== 'specialization' || distinct(snapshot?.element, ({ path }) => path),
  ),
]

const OF_ELEMENTS: readonly Invariant[] = [
  invariant(
    SNAPSHOT,
    ['sdf-3', 'Every element of a snapshot needs definition, min and max'],
    ({ element }) =>
      every(element, (one) => has(one, 'definition') && has(one, 'min') && has(one, 'max')),
  ),
  invariant(SNAPSHOT, ['sdf-8b', 'Every element of a snapshot needs its base'], ({ element }) =>
    every(element, ({ base }) => base !== undefined),
  ),
  invariant(
    SNAPSHOT,
    ['sdf-10', 'A binding in a snapshot needs a valueSet or a description'],
    ({ element }) =>
      every(
        element,
        ({ binding }) =>
          binding === undefined || has(binding, 'valueSet') || has(binding, 'description'),
      ),
  ),
  invariant(ON, ['sdf-14', 'Every element needs an id'], (definition) =>
    everyElement(definition, (one) => has(one, 'id')),
  ),
  invariant(
    ON,
    ['sdf-16', 'Every element of the snapshot needs an id of its own'],
    ({ snapshot }) => allHaveIds(snapshot?.element) && distinct(snapshot?.element, ({ id }) => id),
  ),
  invariant(
    ON,
    ['sdf-17', 'Every element of the differential needs an id of its own'],
    ({ differential }) =>
      allHaveIds(differential?.element) && distinct(differential?.element, ({ id }) => id),
  ),
]

const OF_R4: readonly Invariant[] = [
  invariant(
    ON,
    ['sdf-19', 'The definitions of R4 use its own types only'],
    (definition) =>
      !isOfR4(definition) ||
      (typesAre(definition.differential?.element, /^[a-zA-Z0-9]+$/) &&
        typesAre(definition.snapshot?.element, /^[a-zA-Z0-9.]+$/)),
  ),
  invariant(
    ON,
    ['sdf-21', 'A constraint gives no default value'],
    ({ derivation, differential }) =>
      derivation !== 'constraint' ||
      every(differential?.element, (one) => !chosen(one, 'defaultValue')),
  ),
  invariant(
    ON,
    ['sdf-22', 'The definitions of R4 give no default value'],
    (definition) =>
      !isOfR4(definition) || everyElement(definition, (one) => !chosen(one, 'defaultValue')),
  ),
]

export const STRUCTURE_DEFINITION_INVARIANTS: readonly Invariant[] = [
  ...OF_THE_WHOLE,
  ...OF_ROOTS,
  ...OF_PATHS,
  ...OF_ELEMENTS,
  ...OF_R4,
]
