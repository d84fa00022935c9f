import type { Fault } from '../errors.ts'
import { survives } from './decimal.ts'
import { escaped, isNumberChar, MINUS, NINE, unescaped, ZERO } from './json-text.ts'
import { pathText } from './path-text.ts'
import { isResourceType } from './resource-types.ts'

/** Levels of objects and arrays. The deepest official example has fewer than 30. */
export const MAX_NESTING = 64

/** Properties of one object. R4's widest type has fewer than 100, each with a twin. */
export const MAX_PROPERTIES = 200

/** Items of one array. A Bundle takes 500 entries; the longest official lists, code systems, have a few thousand. */
export const MAX_ITEMS = 10_000

/** Faults reported of one body; what follows is more of the same. */
const MAX_SCAN_FAULTS = 20

/** Decimal digits that a double always gives back unchanged. */
const SAFE_DIGITS = 15

export interface CarefulNumber {
  readonly path: readonly (string | number)[]
  readonly text: string
}

export interface Scan {
  readonly faults: readonly Fault[]
  /** Numbers that must keep their characters, with the way to each. */
  readonly numbers: readonly CarefulNumber[]
  /** A limit was reached: what follows was not looked at. */
  readonly stopped: boolean
}

/**
 * One pass over text for what the parser hides, and for limits before the parser spends anything on it. Of
 * text that is no JSON it says nothing useful and ends all the same.
 *
 * @param root what its expressions start with where it is no resource, which says so itself
 */
export function scanJson(text: string, root = ''): Scan {
  const scanner = new Scanner(text, root)
  scanner.run()
  return scanner
}

const SPACE = 0x20
const QUOTE = 0x22
const COMMA = 0x2c
const COLON = 0x3a
const OPEN_ARRAY = 0x5b
const CLOSE_ARRAY = 0x5d
const OPEN_OBJECT = 0x7b
const CLOSE_OBJECT = 0x7d

const RESOURCE_TYPE = /\s*:\s*"([A-Za-z]+)"/y

interface Found {
  readonly rule: string
  readonly place: readonly (string | number)[]
  readonly text: string
}

class Scanner implements Scan {
  readonly numbers: CarefulNumber[] = []
  private readonly found: Found[] = []
  private readonly text: string
  /** What the expressions start with: the type of the resource, once it was met. */
  private root: string
  /** Property name or index at each open level. */
  private readonly path: (string | number)[] = []
  /** Names seen at each open level; so few that looking through them beats a set. */
  private readonly seen: string[][] = []
  private depth = 0
  private at = 0
  stopped = false

  constructor(text: string, root: string) {
    this.text = text
    this.root = root
  }

  get faults(): Fault[] {
    return this.found.map(({ rule, place, text }) => {
      // Without a name in front an index is no expression.
      const isNameless = this.root === '' && typeof place[0] === 'number'
      const expression = isNameless ? '' : pathText(place, this.root)
      return { severity: 'error', code: 'structure', expression, rule, text }
    })
  }

  run(): void {
    while (this.at < this.text.length && !this.stopped) {
      const char = this.text.charCodeAt(this.at)
      if (char <= SPACE) this.at += 1
      else if (char === QUOTE) this.string()
      else if (char === OPEN_OBJECT) this.open('')
      else if (char === OPEN_ARRAY) this.open(0)
      else if (char === CLOSE_OBJECT || char === CLOSE_ARRAY) this.close()
      else if (char === COMMA) this.comma()
      else if (char === MINUS || (char >= ZERO && char <= NINE)) this.number()
      else this.at += 1
    }
  }

  private open(step: string | number): void {
    this.depth += 1
    this.path[this.depth - 1] = step
    this.seen[this.depth - 1] = []
    this.at += 1
    if (this.depth <= MAX_NESTING) return
    this.stop('json.depth', `Nesting is deeper than ${MAX_NESTING} levels`)
  }

  private stop(rule: string, text: string): void {
    this.fault(rule, this.depth - 1, text)
    this.stopped = true
  }

  private close(): void {
    if (this.depth === 0) return this.end()
    this.depth -= 1
    this.at += 1
  }

  /** This is no JSON, which the parser will say. */
  private end(): void {
    this.at = this.text.length
  }

  private comma(): void {
    const step = this.path[this.depth - 1]
    this.at += 1
    if (typeof step !== 'number') return
    this.path[this.depth - 1] = step + 1
    if (step + 1 >= MAX_ITEMS) this.stop('json.items', `An array has more than ${MAX_ITEMS} items`)
  }

  private string(): void {
    const start = this.at + 1
    let end = this.text.indexOf('"', start)
    while (end >= 0 && escaped(this.text, end)) end = this.text.indexOf('"', end + 1)
    if (end < 0) return this.end()
    this.at = end + 1
    if (this.depth > 0 && typeof this.path[this.depth - 1] === 'string' && this.beforeColon())
      this.property(this.text.slice(start, end))
  }

  private beforeColon(): boolean {
    let next = this.at
    while (this.text.charCodeAt(next) <= SPACE) next += 1
    return this.text.charCodeAt(next) === COLON
  }

  private property(raw: string): void {
    const name = raw.includes('\\') ? unescaped(raw) : raw
    this.path[this.depth - 1] = name
    if (name === 'resourceType' && this.depth === 1) this.typeAhead()
    const seen = this.seen[this.depth - 1]
    if (seen === undefined) return
    if (seen.includes(name))
      this.fault('json.duplicate', this.depth, 'A property is given twice; it may be given once')
    if (seen.push(name) > MAX_PROPERTIES)
      this.stop('json.properties', `An object has more than ${MAX_PROPERTIES} properties`)
    if (name === '__proto__')
      this.fault('json.proto', this.depth - 1, 'A property named __proto__ is not accepted')
  }

  private typeAhead(): void {
    RESOURCE_TYPE.lastIndex = this.at
    const type = RESOURCE_TYPE.exec(this.text)?.[1]
    if (this.root === '' && isResourceType(type)) this.root = type
  }

  private number(): void {
    const start = this.at
    let plain = true
    let char = this.text.charCodeAt(start)
    while (isNumberChar(char)) {
      if (char < ZERO || char > NINE) plain = false
      this.at += 1
      char = this.text.charCodeAt(this.at)
    }
    // Digits alone cannot start with a zero in JSON, so a short run of them is always safe.
    if (plain && this.at - start <= SAFE_DIGITS) return
    const text = this.text.slice(start, this.at)
    if (!survives(text)) this.numbers.push({ path: this.path.slice(0, this.depth), text })
  }

  private fault(rule: string, levels: number, text: string): void {
    if (this.found.length >= MAX_SCAN_FAULTS) return
    this.found.push({ rule, place: this.path.slice(0, levels), text })
  }
}
