import { readFileSync } from 'node:fs'
import { parseRuleSet } from '../../src/domain/rules/rule-set.ts'

const file = new URL('../../src/domain/rules/footing-default-2026.1.json', import.meta.url)

/** The shipped rule set, as the service reads it at start. */
export const RULES = parseRuleSet(JSON.parse(readFileSync(file, 'utf8')))
