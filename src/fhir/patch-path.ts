/**
 * The longest path that is evaluated, the words and signs it may have, and how deep brackets stand in each
 * other: our judgement, several times what a path needs that selects an element by its content.
 */
const MAX_PATH = 500
const MAX_PARTS = 60
const MAX_NESTING = 8

/** An expression that may be evaluated. */
export interface PatchPath {
  readonly ok: true
  readonly text: string
  /** How many words and signs it has. */
  readonly parts: number
}

/** Why an expression is not evaluated, and what kind of issue that is. */
export interface RefusedPath {
  readonly ok: false
  readonly text: string
  readonly code: string
}

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

/** Reads an expression as far as to say whether it may be evaluated; its grammar is left to the engine. */
export function patchPath(text: string): PatchPath | RefusedPath {
  if (text.length > MAX_PATH) return TOO_LONG
  let [before, parts, depth] = ['', 0, 0]
  for (let at = skipSpace(text, 0); at < text.length; at = skipSpace(text, TOKEN.lastIndex)) {
    TOKEN.lastIndex = at
    const [token] = TOKEN.exec(text) ?? []
    if (token === undefined) return NO_PATH
    if (token === '(' && /^[\w`]/.test(before) && !WORDS_BEFORE_BRACKET.has(before)) return FOREIGN
    if (token === '(' || token === '[') depth += 1
    if (token === ')' || token === ']') depth -= 1
    parts += 1
    if (depth > MAX_NESTING || parts > MAX_PARTS) return TOO_LONG
    before = token
  }
  return before === '' ? NO_PATH : { ok: true, text, parts }
}

const refused = (code: string, text: string): RefusedPath => ({ ok: false, code, text })
const TOO_LONG = refused(
  'too-costly',
  `A path has at most ${MAX_PATH} characters, ${MAX_PARTS} words and signs, and ${MAX_NESTING} brackets in each other.`,
)
const FOREIGN = refused(
  'not-supported',
  `A path may use the functions ${FUNCTIONS.replaceAll(' ', ', ')}.`,
)
const NO_PATH = refused(
  'processing',
  'The path is no FHIRPath of names, functions and comparisons.',
)

function skipSpace(text: string, from: number): number {
  let at = from
  while (/\s/.test(text.charAt(at))) at += 1
  return at
}
