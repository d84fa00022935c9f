import type { Traits } from '../domain/identity/traits.ts'
import { parseCondition } from '../fhir/query.ts'
import type { Caller } from '../security/access-token.ts'
import { searchMatches } from '../storage/search.ts'
import type { StoredVersion } from '../storage/resources.ts'
import type { Tx } from '../storage/transaction.ts'
import type { Context } from './context.ts'
import { keptType } from './resources.ts'

/** Of each way to be found by; more are more than anybody looks through. */
const MAX_OF_A_BLOCK = 200
const MAX_IDENTIFIERS = 20
/** Misspellings are rarely at the beginning of a name. */
const PREFIX_LETTERS = 3

type Pair = readonly [name: string, value: string]

export interface Candidates {
  readonly found: readonly StoredVersion[]
  /** Whether there were more than are looked at. */
  readonly isCut: boolean
}

/** The Patients that are worth comparing, each found by the search index; never all of them. */
export async function candidates(
  tx: Tx,
  { baseUrl, now }: Context,
  caller: Caller,
  traits: Traits,
): Promise<Candidates> {
  const reading = { baseUrl, now: now().toISOString() }
  const blocks = await Promise.all(
    blocksOf(traits).map((pairs) =>
      searchMatches(
        tx,
        caller,
        parseCondition(keptType('Patient'), pairs, reading),
        MAX_OF_A_BLOCK + 1,
      ),
    ),
  )
  const found = blocks.flatMap((block) => block.slice(0, MAX_OF_A_BLOCK))
  return {
    found: [...new Map(found.map((one) => [one.id, one])).values()],
    isCut: blocks.some((block) => block.length > MAX_OF_A_BLOCK),
  }
}

/** By an identifier, by the day of birth, and by how the names begin. */
function blocksOf({ identifiers, birthDate, family, given }: Traits): Pair[][] {
  const carried = identifiers
    .slice(0, MAX_IDENTIFIERS)
    .map(({ system, value }) => `${escaped(system)}|${escaped(value)}`)
  const day = dayOf(birthDate)
  const names: Pair[] = [...beginning('family', family), ...beginning('given', given)]
  const year: Pair[] =
    names.length === 1 && birthDate !== undefined ? [['birthdate', four(birthDate.year)]] : []
  return [
    carried.length === 0 ? [] : [['identifier', carried.join(',')] as const],
    day === undefined ? [] : [['birthdate', day] as const],
    names.length === 0 ? [] : [...names, ...year],
  ].filter((pairs) => pairs.length > 0)
}

const beginning = (name: string, texts: readonly string[]): Pair[] =>
  texts.length === 0
    ? []
    : [[name, [...new Set(texts.map((text) => text.slice(0, PREFIX_LETTERS)))].join(',')]]

const four = (year: number): string => String(year).padStart(4, '0')
const two = (part: number): string => String(part).padStart(2, '0')

function dayOf(birthDate: Traits['birthDate']): string | undefined {
  const { year, month, day } = birthDate ?? {}
  if (year === undefined || month === undefined || day === undefined) return undefined
  return `${four(year)}-${two(month)}-${two(day)}`
}

/** Text of a caller, not the signs of a search (R4 3.1.1.4.0.1). */
const escaped = (text: string): string => text.replaceAll(/[\\,|$]/g, String.raw`\$&`)
