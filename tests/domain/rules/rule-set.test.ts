import { readFileSync } from 'node:fs'
import { expect, test } from 'vitest'
import { parseRuleSet } from '../../../src/domain/rules/rule-set.ts'

const file = new URL('../../../src/domain/rules/footing-default-2026.1.json', import.meta.url)

interface Setting {
  value: unknown
  unit: string
  mark: string
  source: string
}
type Shipped = Record<string, Record<string, Setting>>

const shipped = (): Shipped => JSON.parse(readFileSync(file, 'utf8')) as Shipped

const settings = Object.entries(shipped()).flatMap(([section, entries]) =>
  typeof entries === 'object'
    ? Object.entries(entries).map(([name, setting]) => ({ path: `${section}.${name}`, setting }))
    : [],
)

test('the shipped rule set is complete and names its version', () => {
  const rules = parseRuleSet(shipped())

  expect([rules.id, rules.version, rules.status]).toEqual(['footing-default', '2026.1', 'active'])
  expect(rules.milestones.priorSdReferred).toBe(0.4)
})

test.each(settings)('$path carries its unit, its mark and its source', ({ setting }) => {
  expect(setting.unit).not.toBe('')
  expect(['published', 'derived', 'common-practice', 'judgement', 'memory']).toContain(setting.mark)
  expect(setting.source.length).toBeGreaterThan(3)
})

test('every fault is reported at once, each with its path', () => {
  const broken = shipped()
  delete broken['age']?.['termFromDays']
  const limit = broken['urgency']?.['urgentFrom']
  if (limit !== undefined) limit.value = 'forty'

  expect(() => parseRuleSet(broken)).toThrow(/age\.termFromDays[^]*urgency\.urgentFrom\.value/)
})

test('a setting that the schema does not know is refused', () => {
  const broken = shipped()
  broken['age'] = {
    ...broken['age'],
    invented: { value: 1, unit: '1', mark: 'memory', source: '-' },
  }

  expect(() => parseRuleSet(broken)).toThrow(/age/)
})

test('a number without a mark is refused', () => {
  const broken = shipped()
  const setting = broken['age']?.['termFromDays']
  if (setting !== undefined) setting.mark = 'guess'

  expect(() => parseRuleSet(broken)).toThrow(/age\.termFromDays\.mark/)
})
