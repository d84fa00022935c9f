export type SearchKind =
  | 'token'
  | 'reference'
  | 'date'
  | 'string'
  | 'uri'
  | 'quantity'
  | 'number'
  | 'composite'

/** One place of a resource that a search parameter reads. Several parameters may read the same one. */
export interface Atom {
  /** Element path below the resource; a choice with its type, `telecom[system=phone]` with its condition. */
  readonly path: string
  /** The data type that stands there. */
  readonly type: string
  /** Of a reference: the resource types that count; empty for all. */
  readonly targets: readonly string[]
  /** May it hold more than one value in one resource? */
  readonly many: boolean
  /** Of a code that a token parameter reads: the code systems that are implied. */
  readonly systems?: readonly string[]
}

/** One half of a composite parameter, read below its anchor. */
export interface Part {
  readonly kind: SearchKind
  readonly atoms: readonly Atom[]
}

/** A search parameter as the official definition has it. */
export interface OfficialParam {
  readonly code: string
  readonly kind: SearchKind
  /** The last part of the definition's URL. */
  readonly definition: string
  readonly atoms: readonly Atom[]
  /** Of a reference parameter: what it may refer to. */
  readonly targets: readonly string[]
  /** Of a composite: where both halves must be true of one element; '' is the resource itself. */
  readonly anchors: readonly string[]
  readonly parts: readonly Part[]
}

/** `subject:Reference(Patient,Group)` or `category:CodeableConcept*` */
export const atomText = ({ path, type, targets, many }: Atom): string =>
  `${path}:${type}${targets.length === 0 ? '' : `(${targets.join(',')})`}${many ? '*' : ''}`

export function parseAtom(text: string): Atom {
  const match = /^(.+):([A-Za-z]+)(?:\(([^)]*)\))?(\*?)$/.exec(text)
  const [, path = '', type = '', targets, many] = match ?? []
  return { path, type, targets: targets?.split(',') ?? [], many: many === '*' }
}

/** The line that stands for a parameter in the generated table. */
export function searchLine(param: OfficialParam): string {
  const { code, kind, definition, atoms, targets, anchors, parts } = param
  const body =
    kind === 'composite'
      ? `${anchors.map((anchor) => anchor || '.').join('|')} ${parts
          .map((part) => `${part.kind}=${part.atoms.map(atomText).join('|')}`)
          .join('$')}`
      : atoms.map(atomText).join('|')
  return [code, kind, definition, body, ...(targets.length === 0 ? [] : [targets.join(',')])].join(
    ' ',
  )
}

/** The parameter that a generated line stands for. */
export function parseSearchLine(line: string): OfficialParam {
  const [code = '', kind = '', definition = '', ...rest] = line.split(' ')
  const base = { code, kind: kind as SearchKind, definition }
  const [first = '', second = ''] = rest
  if (kind !== 'composite')
    return {
      ...base,
      atoms: first.split('|').map(parseAtom),
      targets: second === '' ? [] : second.split(','),
      anchors: [],
      parts: [],
    }
  return {
    ...base,
    atoms: [],
    targets: [],
    anchors: first.split('|').map((anchor) => (anchor === '.' ? '' : anchor)),
    parts: second.split('$').map((part) => {
      const [of = '', atoms = ''] = part.split('=')
      return { kind: of as SearchKind, atoms: atoms.split('|').map(parseAtom) }
    }),
  }
}
