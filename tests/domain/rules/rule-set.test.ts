import { readFileSync } from 'node:fs'
import { expect, test } from 'vitest'
import { parseRuleSet, readRuleSet } from '../../../src/domain/rules/rule-set.ts'

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

test('a rule set that is older than the timers reads as before, with the shipped limits for them', () => {
  const { timers: _later, ...older } = shipped()

  expect(parseRuleSet(older)).toEqual(parseRuleSet(shipped()))
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

type Change = (setting: Setting) => void
const faultsAfter = (section: string, name: string, change: Change): string[] => {
  const broken = shipped()
  const setting = broken[section]?.[name]
  if (setting === undefined) throw new Error(`There is no setting ${section}.${name}`)
  change(setting)
  const reading = readRuleSet(broken)
  return reading.ok ? [] : reading.faults.map(({ path }) => path)
}
const valued =
  (value: unknown): Change =>
  (setting) => {
    setting.value = value
  }

test.each([
  ['age', 'termFromDays', 0, 259],
  ['age', 'termFromDays', 259.5, 260],
  ['age', 'maxAgeYears', 21, 20],
  ['milestones', 'forecastHorizonMonths', 241, 240],
  ['milestones', 'priorSdSceptical', 0.009, 0.01],
  ['milestones', 'intervalLow', 0, 0.001],
  ['milestones', 'intervalHigh', 1, 0.999],
  ['milestones', 'scepticalDifferencePoints', 101, 100],
  ['posture', 'fpiItemMarked', 3, 2],
  ['posture', 'ankleFlagDegrees', 181, 180],
  ['posture', 'navicularDropMarkedMm', 1001, 1000],
  ['suitability', 'delayProbability', 1.01, 1],
  ['suitability', 'delayProbability', -0.01, 0],
  ['suitability', 'delayPercent', 30, 33],
  ['suitability', 'standardisedZ', -10.1, -10],
  ['suitability', 'posturalSignsNeeded', 0, 1],
  ['suitability', 'ashworthExclusion', '1++', '2'],
  ['urgency', 'stalledToRatio', 101, 100],
  ['urgency', 'pronationFpiTo', 13, 12],
  ['fitting', 'wearTargetHours', 25, 24],
  ['fitting', 'rednessStopMinutes', 1441, 1440],
  ['fitting', 'reviewMonthsUnder3', 0, 1],
  ['fitting', 'followUpWeeks', [2, 4, 4], [2, 4, 5]],
  ['fitting', 'followUpWeeks', [4, 2], [2, 4]],
  ['fitting', 'followUpWeeks', [], [1]],
  ['fitting', 'followUpWeeks', [0, 2], [1, 2]],
  ['followUp', 'gainProbability', 1.1, 1],
  ['deadlines', 'leapBirthday', 'feb29', 'mar1'],
])('%s.%s of %o is refused at its value, of %o it is taken', (section, name, wrong, right) => {
  expect(faultsAfter(section, name, valued(wrong))[0]).toMatch(
    new RegExp(`^${section}\\.${name}(\\.value(\\.0)?)?$`),
  )
  expect(faultsAfter(section, name, valued(right))).toEqual([])
})

test('a number in another unit is refused', () => {
  const inMonths: Change = (setting) => {
    setting.unit = 'mo'
  }

  expect(faultsAfter('urgency', 'routineDays', inMonths)).toEqual(['urgency.routineDays.unit'])
})

const textsAfter = (section: string, name: string, value: unknown): string[] => {
  const broken = shipped()
  const setting = broken[section]?.[name]
  if (setting === undefined) throw new Error(`There is no setting ${section}.${name}`)
  setting.value = value
  const reading = readRuleSet(broken)
  return reading.ok ? [] : reading.faults.map(({ path, text }) => `${path}: ${text}`)
}

test.each([
  ['urgency', 'asapFrom', 40, ['urgency.asapFrom: must be above urgency.urgentFrom']],
  [
    'fitting',
    'rednessTellMinutes',
    31,
    ['fitting.rednessStopMinutes: must not be below fitting.rednessTellMinutes'],
  ],
  [
    'urgency',
    'delay25Points',
    0,
    ['urgency: the points of all contributions add up to 88, not to 100'],
  ],
  ['urgency', 'safetyFalls', 0, ['urgency.safetyPoints: its parts add up to 6, not to 10']],
  [
    'urgency',
    'pronationFpiPoints',
    0,
    ['urgency.pronationPoints: its parts add up to 12, not to 20'],
  ],
  ['age', 'maxAgeYears', 1, ['age.serviceToMonths: must not be above age.maxAgeYears']],
  [
    'fitting',
    'wearTargetHours',
    0,
    ['fitting.wearTargetHours: must not be below fitting.wearStartMinutesHigh'],
  ],
])('%s.%s of %d contradicts another setting, which the fault says', (section, name, value, is) => {
  expect(textsAfter(section, name, value)).toEqual(is)
})

test('a rule set that must be usable names each fault on a line of its own', () => {
  const broken = shipped()
  for (const [section, name] of [
    ['urgency', 'urgentFrom'],
    ['fitting', 'rednessTellMinutes'],
  ] as const) {
    const setting = broken[section]?.[name]
    if (setting !== undefined) setting.value = 80
  }

  expect(() => parseRuleSet(broken)).toThrow(
    [
      'The rule set is not usable:',
      '- urgency.asapFrom: must be above urgency.urgentFrom',
      '- fitting.rednessStopMinutes: must not be below fitting.rednessTellMinutes',
    ].join('\n'),
  )
})

test('settings that contradict each other are refused at their place', () => {
  expect(faultsAfter('urgency', 'asapFrom', valued(40))).toEqual(['urgency.asapFrom'])
})

test.each(['2026|1', '', 'two words', 'x'.repeat(65)])(
  'a version that a result could not name is refused: %j',
  (version) => {
    const reading = readRuleSet({ ...shipped(), version })

    expect(reading.ok ? [] : reading.faults.map(({ path }) => path)).toEqual(['version'])
  },
)
