import { impliedSystems } from './implied-systems.ts'
import {
  type Atom,
  type OfficialParam,
  parseSearchLine,
  type SearchKind,
} from './r4/search-line.ts'
import { PATIENT_COMPARTMENT, SEARCH_PARAMETERS } from './r4/search-parameters.ts'

export const DEFINITION_BASE = 'http://hl7.org/fhir/SearchParameter/'

export type SearchParam = OfficialParam

/** The canonical of a parameter's definition: R4's by the last part of its address, ours in full. */
export const definitionUrl = (definition: string): string =>
  definition.startsWith('https://') ? definition : `${DEFINITION_BASE}${definition}`

/**
 * The places of a type whose values have columns of their own; of everything else the values stand in
 * the narrow index tables. Paths of atoms.
 */
export interface TypedColumns {
  /** References to a Patient; a reference to anything else is in the narrow table. */
  readonly patient?: string
  /** The first coding; further codings are in the narrow table. */
  readonly code?: string
  readonly status?: string
  /** All of one choice element, so there is one value at most. */
  readonly date: readonly string[]
}

const linesOf = (type: string): readonly string[] =>
  (SEARCH_PARAMETERS[type] ?? '').split('\n').filter((line) => line !== '')

/** The search parameters of R4 for a type, beside those of every resource. */
export const searchParamsOf = (type: string): readonly SearchParam[] =>
  linesOf(type).map((line) => withSystems(type, parseSearchLine(line)))

/** With the code systems that its codes have without saying so. */
function withSystems(type: string, param: OfficialParam): SearchParam {
  const at = (anchor: string) => (atom: Atom) =>
    atom.type === 'code'
      ? { ...atom, systems: impliedSystems(type, `${anchor}${atom.path}`) }
      : atom
  const anchor = param.anchors.at(-1) ?? ''
  return {
    ...param,
    atoms: param.kind === 'token' ? param.atoms.map(at('')) : param.atoms,
    parts: param.parts.map((part) => ({
      ...part,
      atoms: part.atoms.map(at(anchor === '' ? '' : `${anchor}.`)),
    })),
  }
}

const common = (name: string, kind: SearchKind, path: string, type: string, many = false) => ({
  code: name,
  kind,
  definition: `Resource-${name.slice(1)}`,
  atoms: [{ path, type, targets: [], many }],
  targets: [],
  anchors: [],
  parts: [],
})

/** Parameters of every type that the index tables answer; `_id` and `_lastUpdated` have columns. */
export const COMMON_PARAMS: readonly SearchParam[] = [
  common('_profile', 'uri', 'meta.profile', 'canonical', true),
  common('_security', 'token', 'meta.security', 'Coding', true),
  common('_source', 'uri', 'meta.source', 'uri'),
  common('_tag', 'token', 'meta.tag', 'Coding', true),
]

/** In this order the first that a type has is its date. */
const DATES = [
  'date',
  'authored',
  'authored-on',
  'recorded-date',
  'recorded',
  'birthdate',
  'sent',
  'start-date',
]

/** Which places of a type have columns: single values of the parameters that carry most traffic. */
export function typedColumnsOf(params: readonly SearchParam[]): TypedColumns {
  const single = (name: string, type: string): string | undefined => {
    const [atom, ...others] = params.find(({ code }) => code === name)?.atoms ?? []
    if (atom === undefined || others.length > 0 || atom.many || atom.type !== type) return undefined
    return atom.path
  }
  const patient = single('patient', 'Reference')
  const code = single('code', 'CodeableConcept')
  const status = single('status', 'code')
  const dated = DATES.flatMap((name) => params.filter(({ code }) => code === name))[0]
  const date = dated?.atoms.some(({ many }) => many) === false ? dated.atoms : []
  return {
    ...(patient === undefined ? {} : { patient }),
    ...(code === undefined ? {} : { code }),
    ...(status === undefined ? {} : { status }),
    date: date.map(({ path }) => path),
  }
}

/**
 * The reference parameters by which a type is in the compartment of a Patient. R4 leaves Task out of it;
 * we take it in, by `patient`: a referral without its state would mislead.
 */
export const compartmentParamsOf = (type: string): readonly string[] => {
  if (type === 'Task') return ['patient']
  const named = PATIENT_COMPARTMENT[type]
  return named === undefined ? [] : named.split('|')
}
