import { mark, type Mark } from './svg.ts'
import { label, linesOf, type Place, SMALL } from './text.ts'
import { type Block, MARGIN, ROOM } from './sheet.ts'

export interface LegendRow {
  readonly text: string
  /** Drawn around a place, at most 24 wide and 12 high. */
  readonly sample: (centre: Place) => readonly Mark[]
}

const SAMPLE = 30
const STEP = 15

/** What each shape means, one below the other. */
export function legend(rows: readonly LegendRow[]): Block {
  let top = 4
  const marks = rows.map(({ text, sample }) => {
    const lines = linesOf(text, SMALL, ROOM - SAMPLE)
    const drawn = [
      ...sample({ x: MARGIN + SAMPLE / 2 - 3, y: top + SMALL - 4 }),
      ...lines.map((line, index) =>
        label(line, { x: MARGIN + SAMPLE, y: top + SMALL + index * STEP }),
      ),
    ]
    top += lines.length * STEP + 2
    return mark('g', {}, drawn)
  })
  return { height: top + 4, marks }
}
