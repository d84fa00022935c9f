import type { Piece } from '../../src/documents/document.ts'

/** Every word of a piece of a paper, but for those in a picture. */
export function textsOf(piece: Piece): readonly string[] {
  switch (piece.kind) {
    case 'paragraph':
    case 'heading':
      return [piece.text]
    case 'list':
      return piece.items
    case 'table':
      return [...piece.head, ...piece.rows.flat()]
    case 'blanks':
      return piece.labels
    case 'picture':
      return []
  }
}
