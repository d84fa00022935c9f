/** SMART v2 interactions: create, read, update, delete, search. */
const LETTERS = ['c', 'r', 'u', 'd', 's'] as const
export type Letter = (typeof LETTERS)[number]

export interface Scope {
  /** A resource type, or `*`; or `admin`, which is no type and has no letters. */
  readonly type: string
  readonly letters: readonly Letter[]
}

/** The clinic's administration: which systems may call. Nothing of FHIR. */
export const ADMINISTRATION = 'admin'

const PATTERN = /^system\/([A-Z][A-Za-z]{1,60}|\*)\.(c?r?u?d?s?)$/

/**
 * Reads a SMART App Launch 2.x scope string. Letters out of order, other contexts and search
 * restrictions are not granted here, so a scope that holds one is refused as a whole.
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
  const [, type, granted = ''] = PATTERN.exec(word) ?? []
  if (type === undefined || granted === '') return undefined
  return { type, letters: LETTERS.filter((letter) => granted.includes(letter)) }
}

export const scopeText = (scopes: readonly Scope[]): string =>
  scopes
    .map(({ type, letters }) =>
      type === ADMINISTRATION ? ADMINISTRATION : `system/${type}.${letters.join('')}`,
    )
    .join(' ')

/** Does a granted scope allow this interaction on this type? */
export const allows = (scopes: readonly Scope[], type: string, letter: Letter): boolean =>
  scopes.some(
    (scope) => (scope.type === '*' || scope.type === type) && scope.letters.includes(letter),
  )

export const allowsAdministration = (scopes: readonly Scope[]): boolean =>
  scopes.some(({ type }) => type === ADMINISTRATION)

/** Is everything that is asked for within what was registered? */
export const within = (asked: readonly Scope[], registered: readonly Scope[]): boolean =>
  asked.every((scope) =>
    scope.type === ADMINISTRATION
      ? allowsAdministration(registered)
      : scope.letters.every((letter) => allows(registered, scope.type, letter)),
  )

/** What is both asked for and registered, each type once. */
export function common(asked: readonly Scope[], registered: readonly Scope[]): readonly Scope[] {
  const met = new Map<string, Set<Letter>>()
  for (const one of asked)
    for (const other of registered) {
      const type = narrower(one.type, other.type)
      const letters = one.letters.filter((letter) => other.letters.includes(letter))
      if (type === undefined || (letters.length === 0 && type !== ADMINISTRATION)) continue
      met.set(type, new Set([...(met.get(type) ?? []), ...letters]))
    }
  return [...met].map(([type, letters]) => ({
    type,
    letters: LETTERS.filter((letter) => letters.has(letter)),
  }))
}

/** Administration is no type: `*` does not hold it. */
function narrower(one: string, other: string): string | undefined {
  if (one === other) return one
  if (one === ADMINISTRATION || other === ADMINISTRATION) return undefined
  if (one === '*') return other
  return other === '*' ? one : undefined
}
