import type { Dice } from './any-request.ts'
import { BROKEN_BYTES, MEMBERS, RAW } from './raw-json.ts'

// JSON changed in one place or a few, as text: a number keeps its digits, a name can stand twice.

/** A value of a JSON text, with the name before it where it is a member of an object. */
export interface Place {
  /** Where its name begins, or in an array the value itself. */
  readonly start: number
  readonly from: number
  readonly to: number
  readonly name: string | undefined
  /** As a JSON Pointer. */
  readonly pointer: string
}

const TOKEN = /"(?:[^"\\]|\\.)*"|[[\]{}:,]|[^\s[\]{}:,"]+/g

interface Open {
  readonly begins: { readonly start: number; readonly from: number; readonly name?: string }
  readonly pointer: string
  readonly array: boolean
  index: number
}

/** Every value of a well-formed JSON text. */
export function placesIn(text: string): Place[] {
  const found: Place[] = []
  const open: Open[] = []
  let name: { readonly at: number; readonly text: string } | undefined
  const under = (): string => {
    const holder = open.at(-1)
    if (holder === undefined) return ''
    return `${holder.pointer}/${holder.array ? holder.index : (name?.text ?? '')}`
  }
  const beginning = (from: number): Open['begins'] =>
    name === undefined ? { start: from, from } : { start: name.at, from, name: name.text }
  for (const { 0: token, index: at } of text.matchAll(TOKEN)) {
    const end = at + token.length
    if (token === '{' || token === '[') {
      open.push({ begins: beginning(at), pointer: under(), array: token === '[', index: 0 })
      name = undefined
    } else if (token === '}' || token === ']') {
      const closed = open.pop()
      if (closed !== undefined)
        found.push({ name: undefined, ...closed.begins, to: end, pointer: closed.pointer })
      name = undefined
    } else if (token === ',') {
      name = undefined
      const holder = open.at(-1)
      if (holder !== undefined) holder.index += 1
    } else if (token !== ':') {
      if (name === undefined && open.at(-1)?.array === false)
        name = { at, text: token.slice(1, -1) }
      else {
        found.push({ name: undefined, ...beginning(at), to: end, pointer: under() })
        name = undefined
      }
    }
  }
  return found
}

/** Copies of a value: enough to cost a careless loop dearly. */
const MANY = 1_500
const MANY_BYTES = 300

/** What stands in `text` from the start of this place to its end, changed. */
function changedPlace(text: string, place: Place, dice: Dice, others: readonly Place[]): string {
  const name = text.slice(place.start, place.from)
  const value = text.slice(place.from, place.to)
  const other = dice.of(others)
  switch (dice.below(12)) {
    case 0:
      return place.name === undefined ? 'null' : `"removed${dice.below(9)}":null`
    case 1:
      return `${name}${value},${name}${dice.chance(2) ? value : dice.of(RAW)}`
    case 2:
      return `${name}[${value}]`
    case 3:
      return place.name === undefined
        ? value
        : `"_${place.name}":${dice.of(RAW)},${name}${dice.chance(2) ? value : 'null'}`
    case 4:
      return value.length > MANY_BYTES
        ? `${name}${value}`
        : `${name}[${Array.from({ length: MANY }, () => value).join(',')}]`
    case 5:
      return place.name === undefined ? dice.of(RAW) : `${dice.of(MEMBERS)},${name}${value}`
    case 6:
      return `${name}${text.slice(other.from, other.to)}`
    case 7:
      return value.startsWith('"')
        ? `${name}"${value.slice(1, -1)}${dice.of(RAW).replace(/^"|"$/g, '').slice(0, 40)}"`
        : `${name}${value}`
    default:
      return `${name}${dice.of(RAW)}`
  }
}

/** The text changed in one place, seldom in up to four. */
export function mutatedJson(text: string, dice: Dice): string {
  let changed = text
  const places = placesIn(text).filter(({ to, from }) => to - from < text.length)
  if (places.length === 0) return text
  const wanted = dice.chance(3) ? 1 + dice.below(4) : 1
  const chosen = Array.from({ length: wanted }, () => dice.of(places))
  let before = text.length
  // From the end to the beginning, so that a place that is still to be changed stands where it stood.
  for (const place of chosen.toSorted((a, b) => b.start - a.start)) {
    if (place.to > before) continue
    changed = `${changed.slice(0, place.start)}${changedPlace(text, place, dice, places)}${changed.slice(place.to)}`
    before = place.start
  }
  return changed
}

/** Seldom as bytes that are no UTF-8, or UTF-16, or with a mark in front. */
export function asBytes(text: string, dice: Dice): string | Buffer {
  if (!dice.chance(25)) return text
  const bytes = Buffer.from(text, 'utf8')
  const at = dice.below(bytes.length + 1)
  switch (dice.below(4)) {
    case 0:
      return Buffer.from(text, 'utf16le')
    case 1:
      return Buffer.concat([Buffer.from([0xef, 0xbb, 0xbf]), bytes])
    case 2:
      return bytes.subarray(0, at)
    default:
      return Buffer.concat([
        bytes.subarray(0, at),
        Buffer.from(dice.of(BROKEN_BYTES)),
        bytes.subarray(at),
      ])
  }
}
