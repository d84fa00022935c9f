import { type ElementDefinition, elementLine } from './definition.ts'
import type { Model } from './generate-model.ts'

export const HEADER = `// Generated, never edited: \`npm run generate:r4\` writes it from the official FHIR R4 definitions.
// The definitions are those of HL7 (hl7.fhir.r4.core 4.0.1, CC0-1.0).
`

/** The text of definitions.ts. */
export function definitionsText(model: Model): string {
  return [
    HEADER,
    '/** Elements of each resource type, one line an element; see definition.ts for the form. */',
    table('RESOURCES', model.resources),
    '',
    '/** Elements of each complex data type. */',
    table('DATA_TYPES', model.dataTypes),
    '',
    '/** Elements of each nested part, by its path. */',
    table('PARTS', model.parts),
    '',
    '/** The codes of each value set that is bound as required and can be enumerated. */',
    entries(
      'CODES',
      [...model.codes].map(([key, codes]) => [key, codes.join('|')]),
    ),
    '',
    '/** Code system of the value sets that are bound to a CodeableConcept. */',
    entries('CODE_SYSTEMS', [...model.systems]),
    '',
    '/** Code systems of the value sets that are bound to a code: the element does not repeat them. */',
    entries(
      'IMPLIED_SYSTEMS',
      [...model.implied].map(([key, systems]) => [key, systems.join('|')]),
    ),
    '',
  ].join('\n')
}

function table(name: string, types: ReadonlyMap<string, readonly ElementDefinition[]>): string {
  return entries(
    name,
    [...types].map(([type, elements]) => [type, `\n${elements.map(elementLine).join('\n')}\n`]),
  )
}

/** Template literals, because the formatter leaves their lines alone. */
function entries(name: string, rows: readonly (readonly [string, string])[]): string {
  const lines = rows.map(([key, text]) => {
    if (/[`\\$]/.test(text)) throw new Error(`${name}.${key} needs escaping`)
    return `  ${/^[A-Za-z_]\w*$/.test(key) ? key : `'${key}'`}: \`${text}\`,`
  })
  return `export const ${name}: Readonly<Record<string, string>> = {\n${lines.join('\n')}\n}`
}
