import type { Milestone } from '../../src/domain/child.ts'

export const WHO_PERCENTILES = [1, 3, 5, 10, 25, 50, 75, 90, 95, 97, 99] as const

/**
 * Typed a second time, independently of src: WHO Multicentre Growth Reference Study Group, Acta
 * Paediatr Suppl 2006;450:86-95, months. P1 and P99 from the abstract, the others from a transcription.
 */
export const WHO_CELLS: readonly (readonly [Milestone, readonly number[]])[] = [
  ['sitting-without-support', [3.8, 4.1, 4.3, 4.6, 5.2, 5.9, 6.7, 7.5, 8.0, 8.4, 9.2]],
  ['standing-with-assistance', [4.8, 5.2, 5.5, 5.9, 6.6, 7.4, 8.4, 9.4, 10.1, 10.5, 11.4]],
  ['hands-and-knees-crawling', [5.2, 5.8, 6.1, 6.6, 7.4, 8.3, 9.3, 10.5, 11.3, 12.0, 13.5]],
  ['walking-with-assistance', [5.9, 6.6, 6.9, 7.4, 8.2, 9.0, 10.0, 11.0, 11.8, 12.4, 13.7]],
  ['standing-alone', [6.9, 7.7, 8.1, 8.8, 9.7, 10.8, 12.0, 13.4, 14.4, 15.2, 16.9]],
  ['walking-alone', [8.2, 9.0, 9.4, 10.0, 11.0, 12.0, 13.1, 14.4, 15.3, 16.0, 17.6]],
]
