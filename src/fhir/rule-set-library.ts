import { readRuleSet, type RuleSet } from '../domain/rules/rule-set.ts'
import type { Fault } from '../errors.ts'
import { EXCHANGE_CODES, SYSTEMS } from './codes.ts'
import { parseBody } from './json-body.ts'
import { profileFault as fault } from './observation-profile.ts'
import type { Library } from './r4/types.ts'
import { hasCode } from './reading.ts'

/** How a rule set is called: in its Library, in its JSON and in every result. */
export interface RuleSetName {
  readonly id: string
  readonly version: string
}

const JSON_TYPE = 'application/json'
/** Of the JSON, about ten times the shipped one. */
const MOST_BYTES = 262_144

/** What we ask of a Library: that it is one whole, usable rule set. */
export function ruleSetFaults(library: Library, at: string): Fault[] {
  if (!hasCode(library.type, EXCHANGE_CODES.ruleSet))
    return [
      fault(
        `${at}.type`,
        'rule-set.type',
        `A Library of this service is a rule set: ${EXCHANGE_CODES.ruleSet.code} of ${SYSTEMS.exchange}.`,
      ),
    ]
  const { rules, faults } = readRuleSetLibrary(library, at)
  return [
    ...statusFaults(library, at),
    ...nameFaults(library, at),
    ...faults,
    ...(rules === undefined ? [] : sameName(library, rules, at)),
  ]
}

function statusFaults({ status }: Library, at: string): Fault[] {
  if (status !== 'unknown') return []
  return [fault(`${at}.status`, 'rule-set.status', 'draft, active or retired is needed.')]
}

const identifiersOf = (library: Library): string[] =>
  library.identifier?.flatMap(({ system, value }) =>
    system === SYSTEMS.ruleSet && value !== undefined ? [value] : [],
  ) ?? []

function nameFaults(library: Library, at: string): Fault[] {
  const faults: Fault[] = []
  if (identifiersOf(library).length !== 1)
    faults.push(
      fault(
        `${at}.identifier`,
        'rule-set.identifier',
        `One identifier of ${SYSTEMS.ruleSet} is needed: the id of the rule set.`,
        'required',
      ),
    )
  if (library.version === undefined)
    faults.push(
      fault(
        `${at}.version`,
        'rule-set.version',
        'The version of the rule set is needed.',
        'required',
      ),
    )
  return faults
}

/** The name must be the same in both places. Where the status differs, that of the Library counts. */
function sameName(library: Library, rules: RuleSet, at: string): Fault[] {
  const faults: Fault[] = []
  if (identifiersOf(library).some((id) => id !== rules.id))
    faults.push(
      fault(`${at}.identifier`, 'rule-set.identifier', 'The id of the JSON is another one.'),
    )
  if (library.version !== undefined && library.version !== rules.version)
    faults.push(
      fault(`${at}.version`, 'rule-set.version', 'The version of the JSON is another one.'),
    )
  return faults
}

export const ruleSetName = (library: Library): RuleSetName => ({
  id: identifiersOf(library)[0] ?? '',
  version: library.version ?? '',
})

export interface RuleSetLibraryReading {
  /** Undefined when there are faults. */
  readonly rules: RuleSet | undefined
  readonly faults: readonly Fault[]
}

/** The rule set that a Library holds. A fault in its JSON names the place there. */
export function readRuleSetLibrary(library: Library, at = 'Library'): RuleSetLibraryReading {
  const [content, ...more] = library.content ?? []
  if (content?.data === undefined || more.length > 0 || content.url !== undefined)
    return refused(`${at}.content`, 'One attachment with the rule set as data is needed.')
  if (content.contentType !== JSON_TYPE)
    return refused(`${at}.content[0].contentType`, `${JSON_TYPE} is needed.`)
  const place = `${at}.content[0].data`
  const bytes = Buffer.from(content.data, 'base64')
  if (bytes.length > MOST_BYTES)
    return refused(place, `A rule set has at most ${MOST_BYTES} bytes of JSON.`)
  const parsed = parseBody(bytes)
  if (!parsed.ok)
    return { rules: undefined, faults: parsed.faults.map((one) => ({ ...one, expression: place })) }
  // Its numbers are computed with, so they need not keep the digits that they were written with. A byte order
  // mark before it is left out, as it was just now.
  const reading = readRuleSet(JSON.parse(new TextDecoder().decode(bytes)))
  if (reading.ok) return { rules: reading.rules, faults: [] }
  const faults = reading.faults.map(({ path, text }) =>
    fault(place, 'rule-set.setting', path === '' ? text : `${path}: ${text}`, 'value'),
  )
  return { rules: undefined, faults }
}

const refused = (expression: string, text: string): RuleSetLibraryReading => ({
  rules: undefined,
  faults: [fault(expression, 'rule-set.content', text, 'required')],
})
