import { choiceName, type ElementDefinition, hasTwin, isPrimitive } from './definition.ts'
import { HEADER } from './generate-definitions.ts'
import type { Model } from './generate-model.ts'

const LINE_WIDTH = 100

/** Resource types that have a TypeScript interface: those this service works with. */
export const TYPED_RESOURCES = [
  'ActivityDefinition',
  'Appointment',
  'AuditEvent',
  'Binary',
  'Bundle',
  'CapabilityStatement',
  'CarePlan',
  'CareTeam',
  'ClinicalImpression',
  'CodeSystem',
  'Communication',
  'CommunicationRequest',
  'Composition',
  'Condition',
  'Consent',
  'Coverage',
  'Device',
  'DeviceDefinition',
  'DeviceRequest',
  'DeviceUseStatement',
  'DocumentReference',
  'Encounter',
  'Goal',
  'Group',
  'Library',
  'List',
  'Location',
  'MeasureReport',
  'Observation',
  'OperationDefinition',
  'OperationOutcome',
  'Organization',
  'Parameters',
  'Patient',
  'PlanDefinition',
  'Practitioner',
  'PractitionerRole',
  'Procedure',
  'Provenance',
  'Questionnaire',
  'QuestionnaireResponse',
  'RelatedPerson',
  'RiskAssessment',
  'SearchParameter',
  'ServiceRequest',
  'StructureDefinition',
  'Subscription',
  'Task',
  'ValueSet',
] as const

const PRIMITIVES: Readonly<Record<string, string>> = {
  boolean: 'boolean',
  integer: 'number',
  positiveInt: 'number',
  unsignedInt: 'number',
  decimal: 'Decimal',
}

/** The text of types.ts: the typed resources and everything they are made of. */
export function typesText(model: Model): string {
  const names = reachable(model)
  const codes = new Set<string>()
  const interfaces = names.map((name) => interfaceText(model, name, codes))
  const aliases = [...codes].sort().map((key) => union(codeAlias(key), literals(model, key)))
  return [
    HEADER,
    "import type { Decimal } from '../decimal.ts'",
    '',
    '/** A resource inside another one: of any R4 type, also of those without an interface here. */',
    'export interface AnyResource {\n  readonly resourceType: string',
    '  readonly id?: string\n  readonly meta?: Meta\n}',
    '',
    union('Resource', TYPED_RESOURCES),
    '',
    '/** The resource types above, by name. */',
    'export const TYPED_RESOURCES: ReadonlySet<string> = new Set([',
    ...TYPED_RESOURCES.map((name) => `  '${name}',`),
    '])',
    '',
    interfaces.join('\n\n'),
    '',
    '/** The interface of every type and nested part, by its path in the definitions. */',
    'export interface TypesByPath {',
    ...names.map((name) => `  ${name.includes('.') ? `'${name}'` : name}: ${pascal(name)}`),
    '}',
    '',
    aliases.join('\n\n'),
    '',
  ].join('\n')
}

function elementsOf(model: Model, name: string): readonly ElementDefinition[] | undefined {
  return model.resources.get(name) ?? model.dataTypes.get(name) ?? model.parts.get(name)
}

/** The typed resources first, then their parts and data types in the order they are met. */
function reachable(model: Model): string[] {
  const found = new Set<string>(TYPED_RESOURCES)
  for (const name of found)
    for (const element of elementsOf(model, name) ?? [])
      for (const { code } of element.types)
        if (!isPrimitive(code) && elementsOf(model, code) !== undefined) found.add(code)
  found.add('Element')
  return [...found]
}

function interfaceText(model: Model, name: string, codes: Set<string>): string {
  const literal = model.resources.has(name) ? [`  readonly resourceType: '${name}'`] : []
  const elements = elementsOf(model, name) ?? []
  const lines = elements.flatMap((element) => propertyLines(listed(model, element), name, codes))
  return `export interface ${pascal(name)} {\n${[...literal, ...lines].join('\n')}\n}`
}

/** Codes that are too many to be listed are texts. */
const listed = (model: Model, { codes, ...element }: ElementDefinition): ElementDefinition =>
  codes === undefined || !model.codes.has(codes) ? element : { ...element, codes }

function propertyLines(element: ElementDefinition, path: string, codes: Set<string>): string[] {
  return element.types.flatMap(({ code }) => {
    const choice = element.name.endsWith('[x]')
    const name = choice ? choiceName(element.name, code) : element.name
    const twin = hasTwin(`${path}.${element.name}`, element, code)
    const optional = choice || !element.required ? '?' : ''
    const type = typeName(element, code, codes)
    if (!twin)
      return [`  readonly ${name}${optional}: ${element.many ? `readonly ${type}[]` : type}`]
    // In the two arrays of a repeating primitive, null stands where only the other has a value.
    const listed = (item: string) => (element.many ? `readonly (${item} | null)[]` : item)
    return [
      `  readonly ${name}${optional}: ${listed(type)}`,
      `  readonly _${name}?: ${listed('Element')}`,
    ]
  })
}

function typeName(element: ElementDefinition, code: string, codes: Set<string>): string {
  if (code === 'Resource') return 'AnyResource'
  if (!isPrimitive(code)) return pascal(code)
  if (element.codes === undefined) return PRIMITIVES[code] ?? 'string'
  codes.add(element.codes)
  return codeAlias(element.codes)
}

function literals(model: Model, key: string): string[] {
  return (model.codes.get(key) ?? []).map((code) => `'${code}'`)
}

function union(name: string, members: readonly string[]): string {
  const line = `export type ${name} = ${members.join(' | ')}`
  if (line.length <= LINE_WIDTH) return line
  return `export type ${name} =\n${members.map((member) => `  | ${member}`).join('\n')}`
}

function codeAlias(key: string): string {
  return `${pascal(key)}Code`
}

/** `Bundle.entry.request` and `observation-status` as names of types. */
function pascal(name: string): string {
  return name.replace(/(?:^|[.-])([A-Za-z])/g, (_, letter: string) => letter.toUpperCase())
}
