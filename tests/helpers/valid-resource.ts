import {
  choiceName,
  type ElementDefinition,
  isPrimitive,
  parseElements,
  type TypeUse,
} from '../../src/fhir/r4/definition.ts'
import { CODES, DATA_TYPES, PARTS, RESOURCES } from '../../src/fhir/r4/definitions.ts'
import { decimal } from '../../src/fhir/decimal.ts'
import type { Dice } from './any-request.ts'
import type { Json } from './referral.ts'

// Resources made from the official R4 definitions alone: any optional element, any type of a choice. Whether
// an invariant holds of them is for the validator to say.

/** Deeper than this only what is required is there. */
const DEPTH = 3
/** Made by rules that the definitions do not hold, or by the service. */
const LEFT_OUT: ReadonlySet<string> = new Set([
  'id',
  'meta',
  'text',
  'contained',
  'implicitRules',
  'modifierExtension',
  'extension',
])
const DECIMALS = ['1', '1.10', '0.0', '-7.50', '1.0e-3', '12345678901234567.5', '100']

const PRIMITIVES: Readonly<Record<string, (dice: Dice) => unknown>> = {
  boolean: (dice) => dice.chance(2),
  integer: (dice) => dice.below(100) - 50,
  unsignedInt: (dice) => dice.below(100),
  positiveInt: (dice) => 1 + dice.below(100),
  decimal: (dice) => decimal(dice.of(DECIMALS)),
  string: (dice) => dice.of(['An invented text', 'Ä ё 語 😀', 'a "quoted" \\ text']),
  markdown: () => 'An *invented* text',
  code: () => 'invented-code',
  id: () => 'an-id',
  uri: () => 'https://invented.example/uri',
  url: () => 'https://invented.example/url',
  canonical: () => 'https://invented.example/canonical|1',
  oid: () => 'urn:oid:1.2.3',
  uuid: () => 'urn:uuid:5c1c0000-0000-4000-8000-000000000001',
  date: (dice) => dice.of(['2024', '2024-02', '2024-02-29']),
  dateTime: (dice) => dice.of(['2024', '2024-02-29', '2024-02-29T10:00:00+01:00']),
  instant: () => '2024-02-29T10:00:00.123Z',
  time: () => '10:00:00',
  base64Binary: () => 'aW52ZW50ZWQ=',
}

/** A resource of the type; often, not always, a valid one. */
export const anyResource = (dice: Dice, type: string): Json => ({
  resourceType: type,
  ...objectOf(dice, RESOURCES[type] ?? '', type, 0),
})

function objectOf(dice: Dice, lines: string, path: string, depth: number): Json {
  const made: Record<string, unknown> = {}
  for (const element of parseElements(lines)) {
    const { name, required } = element
    const isWanted =
      required || (!LEFT_OUT.has(name) && depth < DEPTH && dice.chance(3 + 2 * depth))
    const use = dice.of(element.types)
    if (!isWanted || use.code === 'Resource' || use.code === 'xhtml') continue
    const key = name.endsWith('[x]') ? choiceName(name, use.code) : name
    made[key] = element.many
      ? Array.from({ length: 1 + dice.below(2) }, () => valueOf(dice, element, use, depth))
      : valueOf(dice, element, use, depth)
    if (isPrimitive(use.code) && !element.many && path !== 'Extension' && dice.chance(12))
      made[`_${key}`] = { extension: [EXTENSION] }
  }
  // An object has something in it.
  return Object.keys(made).length === 0 ? { extension: [EXTENSION] } : made
}

const EXTENSION: Json = { url: 'https://invented.example/extension', valueString: 'invented' }

function valueOf(
  dice: Dice,
  { codes }: ElementDefinition,
  { code, targets }: TypeUse,
  depth: number,
): unknown {
  const primitive = PRIMITIVES[code]
  if (primitive !== undefined)
    return codes === undefined ? primitive(dice) : dice.of((CODES[codes] ?? '').split('|'))
  if (code === 'Reference') {
    const type = dice.of(targets.length === 0 ? ['Patient', 'Organization'] : targets)
    return { reference: `https://other.example/fhir/${type}/invented`, display: 'An invented one' }
  }
  return objectOf(dice, DATA_TYPES[code] ?? PARTS[code] ?? '', code, depth + 1)
}
