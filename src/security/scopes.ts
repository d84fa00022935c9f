/** SMART v2 interactions: create, read, update, delete, search. */
const LETTERS = ['c', 'r', 'u', 'd', 's'] as const
export type Letter = (typeof LETTERS)[number]

export interface Scope {
  /** A resource type, or `*`. */
  readonly type: string
  readonly letters: readonly Letter[]
}

const PATTERN = /^system\/([A-Z][A-Za-z]{1,60}|\*)\.(c?r?u?d?s?)$/

/**
 * Reads a SMART App Launch 2.x scope string. Letters out of order, other contexts and search
 * restrictions are not granted here, so a scope that holds one is refused as a whole.
 */
export function parseScopes(text: string): readonly Scope[] | undefined {
  const scopes: Scope[] = []
  for (const word of text.split(' ').filter((part) => part !== '')) {
    const [, type, granted = ''] = PATTERN.exec(word) ?? []
    if (type === undefined || granted === '') return undefined
    scopes.push({ type, letters: LETTERS.filter((letter) => granted.includes(letter)) })
  }
  return scopes.length === 0 ? undefined : scopes
}

/** Does a granted scope allow this interaction on this type? */
export const allows = (scopes: readonly Scope[], type: string, letter: Letter): boolean =>
  scopes.some(
    (scope) => (scope.type === '*' || scope.type === type) && scope.letters.includes(letter),
  )

/** Is everything that is asked for within what was registered? */
export const within = (asked: readonly Scope[], registered: readonly Scope[]): boolean =>
  asked.every((scope) => scope.letters.every((letter) => allows(registered, scope.type, letter)))
