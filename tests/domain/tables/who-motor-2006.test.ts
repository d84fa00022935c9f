import { expect, test } from 'vitest'
import { WHO_MOTOR_2006 } from '../../../src/domain/tables/who-motor-2006.ts'
import { WHO_CELLS, WHO_PERCENTILES } from '../../helpers/who-motor.ts'

for (const [milestone, cells] of WHO_CELLS)
  test(`${milestone}: the table holds the eleven published ages`, () => {
    const row = WHO_MOTOR_2006.months[milestone]

    expect(Object.keys(row)).toEqual(WHO_PERCENTILES.map((percentile) => `p${percentile}`))
    expect(Object.values(row)).toEqual(cells)
  })

/** From the abstract (PubMed 16817682): P1 and P99 in months. */
test('the windows of the abstract are the first and the last column', () => {
  const windows = WHO_CELLS.map(([milestone]) => {
    const { p1, p99 } = WHO_MOTOR_2006.months[milestone]
    return [p1, p99]
  })

  expect(windows).toEqual([
    [3.8, 9.2],
    [4.8, 11.4],
    [5.2, 13.5],
    [5.9, 13.7],
    [6.9, 16.9],
    [8.2, 17.6],
  ])
})

/** From the abstract: 4.3 % of the children did not exhibit hands-and-knees crawling. */
test('the table holds the share of children that never crawled', () => {
  expect(WHO_MOTOR_2006.neverCrawledPercent).toBe(4.3)
})
