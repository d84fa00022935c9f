import type { CivilDate } from '../domain/calendar.ts'
import type { Language } from '../domain/messages/catalogues.ts'
import type { DocumentKind, SectionId } from '../fhir/document-codes.ts'
import type { Picture } from '../pictures/picture.ts'

/** A document as its parts, in one language; how it looks is decided by who renders it. */
export interface PaperDocument {
  readonly kind: DocumentKind
  readonly language: Language
  readonly title: string
  /** Set in at least 18 points. */
  readonly large: boolean
  /** The day of which it tells. */
  readonly on: CivilDate
  readonly standing: Standing
  readonly sections: readonly Section[]
}

/** Is it a draft, or whose is it? */
export interface Standing {
  /** `Draft: not signed, not valid`. */
  readonly label: string
  readonly isSigned: boolean
}

export interface Section {
  readonly id: SectionId
  readonly title: string
  readonly pieces: readonly Piece[]
}

export type Piece =
  | { readonly kind: 'paragraph'; readonly text: string }
  | { readonly kind: 'heading'; readonly text: string }
  | { readonly kind: 'list'; readonly items: readonly string[] }
  | Table
  | { readonly kind: 'picture'; readonly picture: Picture }
  /** What is to be filled in by hand; nothing of ours ever stands in it. */
  | { readonly kind: 'blanks'; readonly labels: readonly string[] }

export interface Table {
  readonly kind: 'table'
  /** None for pairs of a name and what it is. */
  readonly head: readonly string[]
  /** The first cell names its row. */
  readonly rows: readonly (readonly string[])[]
}

export const paragraph = (text: string): Piece => ({ kind: 'paragraph', text })
export const heading = (text: string): Piece => ({ kind: 'heading', text })
export const blanks = (...labels: readonly string[]): Piece => ({ kind: 'blanks', labels })
export const picture = (drawn: Picture): Piece => ({ kind: 'picture', picture: drawn })

/** Nothing for no items. */
export const list = (items: readonly string[]): readonly Piece[] =>
  items.length === 0 ? [] : [{ kind: 'list', items: [...new Set(items)] }]

/** Nothing for no rows. */
export const table = (
  head: readonly string[],
  rows: readonly (readonly string[])[],
): readonly Piece[] => (rows.length === 0 ? [] : [{ kind: 'table', head, rows }])

export const section = (
  id: SectionId,
  title: string,
  ...pieces: readonly (Piece | readonly Piece[])[]
): Section => ({ id, title, pieces: pieces.flat() })
