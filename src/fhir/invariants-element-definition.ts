import { chosen, distinct, has, type Invariant, invariant } from './invariant.ts'

const ON = 'ElementDefinition'
const OF_REFERENCES: ReadonlySet<string> = new Set(['Reference', 'canonical'])

/** FHIRPath makes no number of anything else. */
const integer = (text: string): number | undefined =>
  /^[+-]?\d+$/.test(text) ? Number(text) : undefined

const ABOUT_CARDINALITY: readonly Invariant[] = [
  invariant(ON, ['eld-2', 'The min must not be above the max'], ({ min, max }) => {
    const most = max === undefined ? undefined : integer(max)
    return min === undefined || most === undefined || min <= most
  }),
  invariant(
    ON,
    ['eld-3', 'The max is a number, 0 or more, or *'],
    ({ max }) => max === undefined || (integer(max) ?? 0) >= 0,
  ),
]

const ABOUT_VALUES: readonly Invariant[] = [
  invariant(
    ON,
    ['eld-5', 'Where another element is referred to, nothing else says what the content is'],
    (element) =>
      !has(element, 'contentReference') ||
      (element.type === undefined &&
        !chosen(element, 'defaultValue') &&
        !chosen(element, 'fixed') &&
        !chosen(element, 'pattern') &&
        element.example === undefined &&
        !chosen(element, 'minValue') &&
        !chosen(element, 'maxValue') &&
        !has(element, 'maxLength') &&
        element.binding === undefined),
  ),
  invariant(
    ON,
    ['eld-6', 'A fixed value needs at most one type'],
    (element) => !chosen(element, 'fixed') || (element.type?.length ?? 0) <= 1,
  ),
  invariant(
    ON,
    ['eld-7', 'A pattern needs at most one type'],
    (element) => !chosen(element, 'pattern') || (element.type?.length ?? 0) <= 1,
  ),
  invariant(
    ON,
    ['eld-8', 'A pattern and a fixed value exclude each other'],
    (element) => !chosen(element, 'pattern') || !chosen(element, 'fixed'),
  ),
  invariant(
    ON,
    ['eld-15', 'A default value and meaningWhenMissing exclude each other'],
    (element) => !chosen(element, 'defaultValue') || !has(element, 'meaningWhenMissing'),
  ),
]

const ABOUT_NAMES: readonly Invariant[] = [
  invariant(ON, ['eld-13', 'Every type must be given once'], ({ type }) =>
    distinct(type, ({ code }) => code),
  ),
  invariant(ON, ['eld-14', 'The key of a constraint must be given once'], ({ constraint }) =>
    distinct(constraint, ({ key }) => key),
  ),
  invariant(
    ON,
    ['eld-16', 'A sliceName has letters, digits and / - _ [ ] @ only'],
    ({ sliceName }) => sliceName === undefined || /^[a-zA-Z0-9/\-_[\]@]+$/.test(sliceName),
  ),
  invariant(
    ON,
    ['eld-18', 'What is a modifier needs the reason'],
    (element) => element.isModifier !== true || has(element, 'isModifierReason'),
  ),
  invariant(
    ON,
    ['eld-22', 'sliceIsConstraining needs a sliceName'],
    (element) => !has(element, 'sliceIsConstraining') || has(element, 'sliceName'),
  ),
]

const OF_PARTS: readonly Invariant[] = [
  invariant(
    'ElementDefinition.slicing',
    ['eld-1', 'Slicing needs a discriminator or a description'],
    (slicing) => slicing.discriminator !== undefined || has(slicing, 'description'),
  ),
  invariant(
    'ElementDefinition.type',
    ['eld-4', 'Aggregation is for the types Reference and canonical only'],
    ({ aggregation, code }) =>
      aggregation === undefined || code === undefined || OF_REFERENCES.has(code),
  ),
  invariant(
    'ElementDefinition.type',
    ['eld-17', 'A targetProfile is for the types Reference and canonical only'],
    ({ targetProfile, code }) =>
      targetProfile === undefined || code === undefined || OF_REFERENCES.has(code),
  ),
  invariant(
    'ElementDefinition.binding',
    ['eld-12', 'The valueSet is an address that begins with http:, https or urn:'],
    ({ valueSet }) => valueSet === undefined || /^(?:http:|https|urn:)/.test(valueSet),
  ),
]

/** Of what a StructureDefinition says of an element. */
export const ELEMENT_DEFINITION_INVARIANTS: readonly Invariant[] = [
  ...ABOUT_CARDINALITY,
  ...ABOUT_VALUES,
  ...ABOUT_NAMES,
  ...OF_PARTS,
]
