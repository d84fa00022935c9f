import { readFileSync } from 'node:fs'

// tests/cases/refusals.md, read.

export const ROLES = [
  'staff',
  'partner',
  'other partner',
  'staff elsewhere',
  'partner elsewhere',
  'nobody',
  'no scope',
] as const
export type Role = (typeof ROLES)[number]

export const OWNERS = ['a partner', 'the clinic', 'everybody'] as const
export type Whose = (typeof OWNERS)[number]

const KINDS = ['records', 'log', 'size charts', 'rule sets', 'published'] as const
/** How the table groups the types of the registry. */
export type Kind = (typeof KINDS)[number]

export interface Cell {
  readonly what: string
  readonly whose: Whose
  readonly kind: Kind
  readonly role: Role
  readonly status: number
}

const TABLE = new URL('../cases/refusals.md', import.meta.url)
const NOT_ASKED = '–'

const oneOf = <Word extends string>(words: readonly Word[], text: string | undefined): Word => {
  const word = words.find((one) => one === text)
  if (word === undefined) throw new Error(`The table has an unknown word: ${text}`)
  return word
}
const listed = (text: string | undefined): string[] => (text ?? '').split(', ')

export function refusalTable(): Cell[] {
  const [head, , ...rows] = readFileSync(TABLE, 'utf8')
    .split('\n')
    .filter((line) => line.startsWith('|'))
    .map((line) =>
      line
        .split('|')
        .slice(1, -1)
        .map((cell) => cell.trim()),
    )
  const roles = (head ?? []).slice(3).map((word) => oneOf(ROLES, word))
  return rows.flatMap(([whats, whose, kinds, ...statuses]) =>
    listed(whats).flatMap((what) =>
      listed(kinds).flatMap((kind) =>
        roles.flatMap((role, index): Cell[] => {
          const text = statuses[index] ?? ''
          if (text === NOT_ASKED) return []
          if (!/^\d{3}$/.test(text)) throw new Error(`The table has no status: ${text}`)
          const status = Number(text)
          return [{ what, whose: oneOf(OWNERS, whose), kind: oneOf(KINDS, kind), role, status }]
        }),
      ),
    ),
  )
}
