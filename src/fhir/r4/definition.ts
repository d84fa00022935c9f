/** One type an element may have; for a Reference, the resource types it may point to. */
export interface TypeUse {
  readonly code: string
  /** Empty where any resource type may be referred to. */
  readonly targets: readonly string[]
}

/** One element of a resource, data type or nested part, as the official snapshot lists it. */
export interface ElementDefinition {
  /** Ends in `[x]` where the element is a choice. */
  readonly name: string
  readonly required: boolean
  readonly many: boolean
  readonly types: readonly TypeUse[]
  /** Key of the value set bound as required: in CODES where it can be enumerated, else in CODE_FORMS. */
  readonly codes?: string
}

/**
 * The line that stands for an element in the generated table, for instance
 * `subject 1..1 Reference(Patient,Group)` or `status 1..1 code {request-status}`.
 */
export function elementLine(element: ElementDefinition): string {
  const types = element.types.map(({ code, targets }) =>
    targets.length === 0 ? code : `${code}(${targets.join(',')})`,
  )
  const cardinality = `${element.required ? 1 : 0}..${element.many ? '*' : 1}`
  const binding = element.codes === undefined ? '' : ` {${element.codes}}`
  return `${element.name} ${cardinality} ${types.join('|')}${binding}`
}

/** The element that a generated line stands for. */
export function parseElementLine(line: string): ElementDefinition {
  const [name = '', cardinality = '', types = '', binding] = line.split(' ')
  return {
    name,
    required: cardinality.startsWith('1'),
    many: cardinality.endsWith('*'),
    types: types.split('|').map(parseTypeUse),
    ...(binding === undefined ? {} : { codes: binding.slice(1, -1) }),
  }
}

function parseTypeUse(text: string): TypeUse {
  const [code = '', targets] = text.split('(')
  return { code, targets: targets === undefined ? [] : targets.slice(0, -1).split(',') }
}

/** All elements of one generated table entry, one line each. */
export function parseElements(lines: string): ElementDefinition[] {
  return lines.trim().split('\n').map(parseElementLine)
}

/** JSON name of a choice element with one of its types: `value[x]` and `Quantity`: `valueQuantity`. */
export function choiceName(name: string, code: string): string {
  return name.slice(0, -3) + code.charAt(0).toUpperCase() + code.slice(1)
}

/** Lower-case type codes are primitives, also in the official definitions. */
export function isPrimitive(code: string): boolean {
  return /^[a-z]/.test(code)
}

/** Does the primitive have the `_name` twin that carries its id and extensions? */
export function hasTwin(path: string, element: { readonly name: string }, code: string): boolean {
  return isPrimitive(code) && code !== 'xhtml' && element.name !== 'id' && path !== 'Extension.url'
}
