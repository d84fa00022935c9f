/** SMART v2 interactions: create, read, update, delete, search. */
const LETTERS = ['c', 'r', 'u', 'd', 's'] as const
export type Letter = (typeof LETTERS)[number]

export interface Scope {
  /** A resource type, or `*`; or `admin`, which is no type and has no letters. */
  readonly type: string
  readonly letters: readonly Letter[]
  /** Its search part, as it is written: only what it finds is granted. Never of `*`. */
  readonly query?: string
}

/** The clinic's administration: which systems may call. Nothing of FHIR. */
export const ADMINISTRATION = 'admin'

const PATTERN = /^system\/([A-Z][A-Za-z]{1,60}|\*)\.(c?r?u?d?s?)(?:\?([!#-[\]-~]{1,500}))?$/

/**
 * Reads a SMART App Launch 2.x scope string. Letters out of order and other contexts are not granted here, nor
 * is a search part of every type, so a scope string that holds one is refused as a whole.
 */
export function parseScopes(text: string): readonly Scope[] | undefined {
  const scopes: Scope[] = []
  for (const word of text.split(' ').filter((part) => part !== '')) {
    const scope = scopeOf(word)
    if (scope === undefined) return undefined
    scopes.push(scope)
  }
  return scopes.length === 0 ? undefined : scopes
}

function scopeOf(word: string): Scope | undefined {
  if (word === ADMINISTRATION) return { type: ADMINISTRATION, letters: [] }
  const [, type, granted = '', query] = PATTERN.exec(word) ?? []
  if (type === undefined || granted === '') return undefined
  const letters = LETTERS.filter((letter) => granted.includes(letter))
  if (query === undefined) return { type, letters }
  return type === '*' ? undefined : { type, letters, query }
}

export const scopeText = (scopes: readonly Scope[]): string =>
  scopes
    .map(({ type, letters, query }) =>
      type === ADMINISTRATION
        ? ADMINISTRATION
        : `system/${type}.${letters.join('')}${query === undefined ? '' : `?${query}`}`,
    )
    .join(' ')

const covers = (scope: Scope, type: string, letter: Letter): boolean =>
  (scope.type === '*' || scope.type === type) && scope.letters.includes(letter)

/** Does a granted scope allow this interaction on this type, if only with some of its resources? */
export const allows = (scopes: readonly Scope[], type: string, letter: Letter): boolean =>
  scopes.some((scope) => covers(scope, type, letter))

/**
 * The search parts that hold for a type, in groups: a resource is granted that is found by one of each group.
 * A type that one scope narrows is narrowed for everything that is done with it.
 */
export function narrowingOf(
  scopes: readonly Scope[],
  type: string,
): readonly (readonly string[])[] {
  const groups = LETTERS.flatMap((letter) => {
    const granting = scopes.filter((scope) => covers(scope, type, letter))
    const queries = granting.flatMap(({ query }) => query ?? [])
    // What is also granted without a search part is not narrowed by this letter.
    return queries.length > 0 && queries.length === granting.length
      ? [[...new Set(queries)].toSorted()]
      : []
  })
  return [...new Map(groups.map((group) => [group.join(' '), group])).values()]
}

/** The types of which only a part is granted. */
export const narrowedTypes = (scopes: readonly Scope[]): readonly string[] =>
  [...new Set(scopes.flatMap(({ type, query }) => (query === undefined ? [] : [type])))].filter(
    (type) => narrowingOf(scopes, type).length > 0,
  )

export const allowsAdministration = (scopes: readonly Scope[]): boolean =>
  scopes.some(({ type }) => type === ADMINISTRATION)

/** Is everything that is asked for within what was registered? */
export const within = (asked: readonly Scope[], registered: readonly Scope[]): boolean =>
  asked.every((scope) =>
    scope.type === ADMINISTRATION
      ? allowsAdministration(registered)
      : scope.letters.every((letter) =>
          registered.some(
            (other) => covers(other, scope.type, letter) && isNoWider(scope.query, other.query),
          ),
        ),
  )

const partsOf = (query: string | undefined): readonly string[] =>
  query === undefined ? [] : query.split('&')

/** Does one search part find nothing that the other does not find? */
const isNoWider = (query: string | undefined, than: string | undefined): boolean =>
  partsOf(than).every((part) => partsOf(query).includes(part))

/** What is both asked for and registered, each type and search part once. */
export function common(asked: readonly Scope[], registered: readonly Scope[]): readonly Scope[] {
  const met = new Map<string, Scope>()
  for (const one of asked)
    for (const other of registered) {
      const type = narrower(one.type, other.type)
      const letters = one.letters.filter((letter) => other.letters.includes(letter))
      if (type === undefined || (letters.length === 0 && type !== ADMINISTRATION)) continue
      const query = bothOf(one.query, other.query)
      const key = `${type}?${query ?? ''}`
      const all = [...(met.get(key)?.letters ?? []), ...letters]
      const inOrder = LETTERS.filter((letter) => all.includes(letter))
      met.set(key, { type, letters: inOrder, ...(query === undefined ? {} : { query }) })
    }
  const scopes = [...met.values()]
  return scopes.filter((scope) => !scopes.some((other) => saysMore(other, scope)))
}

function bothOf(one: string | undefined, other: string | undefined): string | undefined {
  const parts = [...new Set([...partsOf(one), ...partsOf(other)])]
  return parts.length === 0 ? undefined : parts.join('&')
}

/** Of what was narrowed twice, nothing is lost where one of the two is granted anyway. */
const saysMore = (other: Scope, scope: Scope): boolean =>
  other !== scope &&
  other.type === scope.type &&
  scope.query !== undefined &&
  scope.letters.every((letter) => other.letters.includes(letter)) &&
  isNoWider(scope.query, other.query) &&
  !(isNoWider(other.query, scope.query) && isNoWider(scope.query, other.query))

/** Administration is no type: `*` does not hold it. */
function narrower(one: string, other: string): string | undefined {
  if (one === other) return one
  if (one === ADMINISTRATION || other === ADMINISTRATION) return undefined
  if (one === '*') return other
  return other === '*' ? one : undefined
}
