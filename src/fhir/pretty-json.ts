const STEP = '  '
const TOKEN = /"(?:[^"\\]|\\.)*"|[{}[\],:]|[^\s"{}[\],:]+/g

/** JSON text laid out for people. Every token stays as it is, so decimals keep their digits. */
export function prettyJson(text: string): string {
  const tokens = text.match(TOKEN) ?? []
  const parts: string[] = []
  let depth = 0
  tokens.forEach((token, index) => {
    const empty = isOpening(tokens[index - 1]) && isClosing(token)
    if (isClosing(token)) depth -= 1
    if (isClosing(token) && !empty) parts.push(`\n${STEP.repeat(depth)}`)
    parts.push(token === ':' ? ': ' : token)
    if (isOpening(token)) depth += 1
    if (token === ',' || (isOpening(token) && !isClosing(tokens[index + 1])))
      parts.push(`\n${STEP.repeat(depth)}`)
  })
  return parts.join('')
}

const isOpening = (token: string | undefined): boolean => token === '{' || token === '['
const isClosing = (token: string | undefined): boolean => token === '}' || token === ']'
