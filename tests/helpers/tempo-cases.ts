import type { Observation } from '../../src/domain/development/tempo-residual.ts'

/** Age in months after which and by which a milestone began; null when not yet. */
type Interval = readonly [number, number | null]

const observed = (
  sitting: Interval,
  standingHeld: Interval,
  crawling: Interval | undefined,
  later: readonly [walkingHeld: Interval, standingAlone: Interval, walkingAlone: Interval],
): readonly Observation[] => {
  const rows = [
    ['sitting-without-support', sitting],
    ['standing-with-assistance', standingHeld],
    ['hands-and-knees-crawling', crawling],
    ['walking-with-assistance', later[0]],
    ['standing-alone', later[1]],
    ['walking-alone', later[2]],
  ] as const
  return rows.flatMap(([milestone, interval]) =>
    interval === undefined ? [] : [{ milestone, from: interval[0], to: interval[1] }],
  )
}

const by = (age: number): Interval => [0, age]
const notBy = (age: number): Interval => [age, null]

/** The seven worked cases published with the tempo model: age in months and what was seen. */
export const TEMPO_CASES = {
  A: { age: 12, seen: observed(by(12), by(12), by(12), [notBy(12), notBy(12), notBy(12)]) },
  B: { age: 18, seen: observed(by(18), by(18), by(18), [by(18), notBy(18), notBy(18)]) },
  C: { age: 15, seen: observed(by(9), [9, 12], [9, 12], [[12, 15], notBy(15), notBy(15)]) },
  D: {
    age: 15,
    seen: observed(
      by(6),
      [6, 9],
      [6, 9],
      [
        [9, 12],
        [9, 12],
        [12, 15],
      ],
    ),
  },
  E: { age: 24, seen: observed(by(24), by(24), undefined, [notBy(24), notBy(24), notBy(24)]) },
  F: { age: 20, seen: observed(by(20), by(20), by(20), [by(20), by(20), by(20)]) },
  G: { age: 16, seen: observed(by(16), by(16), undefined, [by(16), by(16), notBy(16)]) },
} as const
