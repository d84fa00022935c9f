/** The longest path that is evaluated. */
const MAX_PATH = 500

/**
 * The functions a path may use: they find elements in time that grows with the resource. Others can be made to
 * run without end (repeat, matches, aggregate), ask other servers (resolve, memberOf) or write a log (trace).
 */
const FUNCTIONS =
  'where ofType as is extension first last tail skip take single exists empty hasValue all count not startsWith endsWith contains length lower upper'

/** Operators that are words: a bracket after them begins no function. */
const OPERATORS = 'and or xor implies in'

const WORDS_BEFORE_BRACKET = new Set(`${FUNCTIONS} ${OPERATORS}`.split(' '))

/** Text, a name, a number, and the signs of steps and comparisons; no arithmetic, union, variable or comment. */
const TOKEN = /'(?:[^'\\]|\\.)*'|`[^`\\]*`|[A-Za-z_]\w*|\d+(?:\.\d+)?|\$this\b|[.,()[\]=<>!@:-]/y

/** Is this an expression that may be evaluated? Its grammar is left to the engine. */
export function isPatchPath(text: string): boolean {
  if (text.length > MAX_PATH) return false
  let before = ''
  for (let at = skipSpace(text, 0); at < text.length; at = skipSpace(text, TOKEN.lastIndex)) {
    TOKEN.lastIndex = at
    const [token] = TOKEN.exec(text) ?? []
    if (token === undefined) return false
    if (token === '(' && /^[\w`]/.test(before) && !WORDS_BEFORE_BRACKET.has(before)) return false
    before = token
  }
  return before !== ''
}

function skipSpace(text: string, from: number): number {
  let at = from
  while (/\s/.test(text.charAt(at))) at += 1
  return at
}
