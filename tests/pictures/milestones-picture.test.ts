import { assert, property } from 'fast-check'
import { expect, test } from 'vitest'
import { civilDate } from '../../src/domain/calendar.ts'
import { ageOn } from '../../src/domain/development/age.ts'
import { type MilestoneCheck, MILESTONES } from '../../src/domain/child.ts'
import { drawPicture } from '../../src/pictures/picture.ts'
import type { PictureFacts } from '../../src/pictures/picture-facts.ts'
import { anyPictureFacts, factsOf } from '../helpers/any-picture.ts'
import { child, fact } from '../helpers/child.ts'
import { on } from '../helpers/law-dates.ts'
import { numberOf, type SvgElement, textsOf, withData } from '../helpers/svg.ts'

const drawn = (facts: PictureFacts) => drawPicture('milestones', facts, { language: 'en' }).svg
const read = (element: SvgElement, name: string): number | undefined =>
  `data-${name}` in element.attributes ? numberOf(element, name) : undefined

/** A picture needs a whole triage each. */
const RUNS = { numRuns: 40 }

test('each milestone stands with its state and the ages between which it came', () => {
  assert(
    property(anyPictureFacts, (facts) => {
      const rows = withData(drawn(facts), 'milestone').map((row) => ({
        milestone: row.attributes['data-milestone'],
        state: row.attributes['data-state'],
        from: read(row, 'from'),
        to: read(row, 'to'),
      }))

      expect(rows).toEqual(
        facts.triage.milestones.statuses.map(({ milestone, state, interval }) => ({
          milestone,
          state,
          from: interval?.from,
          to: interval?.to ?? undefined,
        })),
      )
    }),
    RUNS,
  )
})

// WHO Multicentre Growth Reference Study Group 2006: 1st and 99th percentile, months.
test.each([
  ['sitting-without-support', 3.8, 9.2],
  ['standing-with-assistance', 4.8, 11.4],
  ['hands-and-knees-crawling', 5.2, 13.5],
  ['walking-with-assistance', 5.9, 13.7],
  ['standing-alone', 6.9, 16.9],
  ['walking-alone', 8.2, 17.6],
] as const)('the window of %s is the published one, %s to %s months', (milestone, p1, p99) => {
  const facts = factsOf(child(), civilDate('2026-03-01'))
  if (facts === undefined) throw new Error('no facts')
  const row = withData(drawn(facts), 'milestone').find(
    ({ attributes }) => attributes['data-milestone'] === milestone,
  )

  expect(row === undefined ? [] : [read(row, 'p1'), read(row, 'p99')]).toEqual([p1, p99])
})

test('what is expected stands with its days, at the ages that they are', () => {
  assert(
    property(anyPictureFacts, (facts) => {
      const { tempo, child: who } = facts.triage
      const expected = tempo.state === 'estimated' ? tempo.expected : []
      const found = withData(drawn(facts), 'median-on')

      expect(found.map(({ attributes }) => attributes['data-median-on'])).toEqual(
        expected.map(({ median }) => median),
      )
      for (const [index, { earliest, median, latest }] of expected.entries()) {
        const group = found[index]
        if (group === undefined) throw new Error('an expectation is missing')
        expect(group.attributes['data-earliest-on']).toBe(earliest)
        expect(group.attributes['data-latest-on']).toBe(latest)
        expect(read(group, 'earliest')).toBe(ageOn(who, earliest, facts.rules))
        expect(read(group, 'median')).toBe(ageOn(who, median, facts.rules))
        expect(read(group, 'latest')).toBe(
          latest === undefined ? undefined : ageOn(who, latest, facts.rules),
        )
      }
    }),
    RUNS,
  )
})

test('the pace is that before and after the fitting where both are known, else that of today, else words', () => {
  assert(
    property(anyPictureFacts, (facts) => {
      const { triage, fitting } = facts
      const found = withData(drawn(facts), 'pace').map((row) => [
        row.attributes['data-pace'],
        read(row, 'value'),
        read(row, 'low'),
        read(row, 'high'),
      ])
      const { tempo } = triage
      const change = fitting?.found.change

      if (change?.state === 'estimated')
        expect(found).toEqual([
          ['before', change.before.value, change.before.interval.low, change.before.interval.high],
          ['after', change.after.value, change.after.interval.low, change.after.interval.high],
        ])
      else if (tempo.state === 'estimated')
        expect(found).toEqual([
          ['today', tempo.tempo, tempo.tempoInterval.low, tempo.tempoInterval.high],
        ])
      else {
        expect(found).toEqual([])
        expect(textsOf(drawn(facts)).join(' ')).toContain('The pace cannot be drawn')
      }
    }),
    RUNS,
  )
})

test('of a child nobody looked at nothing is drawn but the windows, and it is said', () => {
  const facts = factsOf(child({ milestoneChecks: [] }), civilDate('2026-03-01'))
  if (facts === undefined) throw new Error('no facts')
  const svg = drawn(facts)

  expect(withData(svg, 'from')).toEqual([])
  expect(withData(svg, 'value')).toEqual([])
  expect(textsOf(svg).filter((text) => text === 'not known')).toHaveLength(MILESTONES.length - 1)
  expect(textsOf(svg)).toContain('not seen; left out, as some children never crawl')
})

test('an age that is known to the day is told once', () => {
  const seen = fact<MilestoneCheck>(
    {
      milestone: 'walking-alone',
      attained: true,
      attainedOn: civilDate('2026-02-20'),
      reportedBy: 'professional',
    },
    '2026-02-20',
  )
  const facts = factsOf(
    child({ birthDate: on('2025-02-01'), milestoneChecks: [seen] }),
    civilDate('2026-03-01'),
  )
  if (facts === undefined) throw new Error('no facts')

  const told = textsOf(drawn(facts)).filter((line) => line.includes('seen at'))
  expect(told).toEqual(['first seen at 12.6 months'])
})
