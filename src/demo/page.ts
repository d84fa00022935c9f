/** A terminal that nobody widened. */
const WIDTH = 80
/** A number stays on the line of its unit. */
const UNIT = /(?<=\d) (%|mm|months|degrees|SD)/g

/** Breaks a text into lines of the page's width; the first may begin with a label. */
export function wrapped(text: string, { indent = 2, label = '' } = {}): string[] {
  const lines: string[] = []
  let line = label.padEnd(indent)
  let empty = true
  for (const part of text.replaceAll(UNIT, '\u00A0$1').split(' ')) {
    const word = part.replaceAll('\u00A0', ' ')
    if (!empty && line.length + 1 + word.length > WIDTH) {
      lines.push(line)
      line = ' '.repeat(indent)
      empty = true
    }
    line += empty ? word : ` ${word}`
    empty = false
  }
  return [...lines, line]
}

/** A sentence ends with one full stop and begins with a capital letter. */
export const sentence = (text: string): string =>
  `${text.slice(0, 1).toUpperCase()}${text.slice(1)}${/[.?!]$/.test(text) ? '' : '.'}`

/** Headings stand out on a terminal; in a file they are plain text. */
export const headings = (terminal: boolean) => (text: string) =>
  terminal ? `\u001B[1m${text}\u001B[22m` : text

export type Heading = ReturnType<typeof headings>
