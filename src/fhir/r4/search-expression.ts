import { choiceName, type ElementDefinition } from './definition.ts'
import type { Model } from './generate-model.ts'
import type { Atom, SearchKind } from './search-line.ts'

/** The data types that a parameter of each kind reads; others at the same place are passed over. */
const TYPES: Readonly<Record<Exclude<SearchKind, 'composite'>, readonly string[]>> = {
  token: [
    'CodeableConcept',
    'Coding',
    'Identifier',
    'ContactPoint',
    'code',
    'boolean',
    'string',
    'id',
    'uri',
  ],
  reference: ['Reference', 'canonical', 'uri'],
  date: ['date', 'dateTime', 'instant', 'Period', 'Timing'],
  string: ['string', 'markdown', 'HumanName', 'Address'],
  uri: ['uri', 'url', 'canonical', 'oid', 'uuid'],
  quantity: [
    'Quantity',
    'Age',
    'Duration',
    'Count',
    'Distance',
    'SimpleQuantity',
    'Money',
    'Range',
  ],
  number: ['integer', 'decimal', 'positiveInt', 'unsignedInt'],
}

const NAME_PARTS = ['family', 'given', 'prefix', 'suffix', 'text']
const ADDRESS_PARTS = ['line', 'city', 'district', 'state', 'postalCode', 'country', 'text']

interface Place {
  readonly path: string
  /** A type of the definitions, or the path of a nested part. */
  readonly type: string
  readonly targets: readonly string[]
  readonly many: boolean
}

const elementsOf = (model: Model, type: string): readonly ElementDefinition[] =>
  model.resources.get(type) ?? model.parts.get(type) ?? model.dataTypes.get(type) ?? []

/**
 * Where an official search expression looks, in our form. The expressions use a small part of FHIRPath:
 * member steps, `as`, and `where` with an equality or `resolve() is`. Of others nothing is found.
 *
 * @param from the type below which the expression starts
 */
export function atomsOf(
  model: Model,
  from: string,
  { expression, kind }: { readonly expression: string; readonly kind: SearchKind },
): Atom[] {
  if (kind === 'composite') return []
  const steps = stepsOf(expression)
  if (steps === undefined) return []
  let places: Place[] = [{ path: '', type: from, targets: [], many: false }]
  for (const step of steps) places = places.flatMap((place) => next(model, place, step))
  return places
    .filter(({ type }) => TYPES[kind].includes(type))
    .flatMap((place) => (kind === 'string' ? stringParts(place) : [place]))
}

type Step =
  | { readonly member: string }
  | { readonly as: string }
  | { readonly is: string }
  | { readonly where: string }

/** Undefined for an expression of another form. */
function stepsOf(expression: string): Step[] | undefined {
  const plain = expression
    .replaceAll(/\(([\w.]+) as (\w+)\)/g, '$1.as($2)')
    .replaceAll(/^\((.*)\)$/g, '$1')
  const steps = (
    plain.match(/(?<!\w)(?:\w+(?:\([^.]*\))?(?=\.|$)|\w+\(resolve\(\) is \w+\))/g) ?? []
  ).map(stepOf)
  const found = steps.filter((step) => step !== undefined)
  return found.length === plain.split('.').length ? found : undefined
}

function stepOf(text: string): Step | undefined {
  const [, as] = /^(?:as|ofType)\((\w+)\)$/.exec(text) ?? []
  if (as !== undefined) return { as }
  const [, is] = /^where\(resolve\(\) is (\w+)\)$/.exec(text) ?? []
  if (is !== undefined) return { is }
  const [, name, value] = /^where\((\w+)='([\w-]+)'\)$/.exec(text) ?? []
  if (name !== undefined) return { where: `${name}=${value}` }
  return /^\w+$/.test(text) ? { member: text } : undefined
}

function next(model: Model, place: Place, step: Step): Place[] {
  if ('as' in step) {
    const type = step.as === 'DateTime' ? 'dateTime' : step.as
    return place.type === type ? [place] : []
  }
  if ('is' in step) return place.type === 'Reference' ? [{ ...place, targets: [step.is] }] : []
  if ('where' in step) return [{ ...place, path: `${place.path}[${step.where}]` }]
  return elementsOf(model, place.type)
    .filter(({ name }) => name === step.member || name === `${step.member}[x]`)
    .flatMap((element) =>
      element.types.map((use) => {
        const name = element.name.endsWith('[x]')
          ? choiceName(element.name, use.code)
          : element.name
        return {
          path: place.path === '' ? name : `${place.path}.${name}`,
          type: use.code,
          targets: [],
          many: place.many || element.many,
        }
      }),
    )
}

/** Names and addresses are found by each of their parts. */
function stringParts(place: Place): Atom[] {
  const parts =
    place.type === 'HumanName' ? NAME_PARTS : place.type === 'Address' ? ADDRESS_PARTS : undefined
  if (parts === undefined) return [{ ...place, type: 'string' }]
  return parts.map((part) => ({
    ...place,
    path: `${place.path}.${part}`,
    type: 'string',
    many: true,
  }))
}
