import { readFileSync } from 'node:fs'
import type { Json } from './referral.ts'

// Rule sets of an invented clinic: the shipped one under another name, with settings changed.

const SHIPPED = new URL('../../src/domain/rules/footing-default-2026.1.json', import.meta.url)
const CANONICAL = 'https://footing.example/fhir'

export interface InventedRules {
  readonly version: string
  readonly id?: string
  /** `urgency.urgentFrom` → 35. */
  readonly values?: Readonly<Record<string, unknown>>
}

interface Setting {
  value: unknown
}

export function ruleSetJson({ version, id = 'invented-clinic', values = {} }: InventedRules): Json {
  const rules = JSON.parse(readFileSync(SHIPPED, 'utf8')) as Record<string, Record<string, Setting>>
  for (const [path, value] of Object.entries(values)) {
    const [section = '', name = ''] = path.split('.')
    const setting = rules[section]?.[name]
    if (setting === undefined) throw new Error(`There is no setting ${path}`)
    setting.value = value
  }
  return { ...rules, id, version, title: 'An invented rule set', status: 'draft' }
}

export const attached = (text: string): Json => ({
  contentType: 'application/json',
  data: Buffer.from(text, 'utf8').toString('base64'),
})

/** The Library of a rule set, as staff of a clinic send it. */
export function ruleSetLibrary(invented: InventedRules, change: Json = {}): Json {
  const { version, id = 'invented-clinic' } = invented
  return {
    resourceType: 'Library',
    identifier: [{ system: `${CANONICAL}/NamingSystem/rule-set`, value: id }],
    version,
    name: 'InventedRules',
    title: 'An invented rule set',
    status: 'draft',
    type: { coding: [{ system: `${CANONICAL}/CodeSystem/exchange`, code: 'rule-set' }] },
    content: [attached(JSON.stringify(ruleSetJson(invented)))],
    ...change,
  }
}
