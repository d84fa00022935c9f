import { expect, test } from 'vitest'
import type { Task } from '../../src/pages/answers.ts'
import { courseOf } from '../../src/pages/task-course.ts'

// How a Task came to where it stands, told from its versions. A reason belongs to its state: the rule of the service for
// every step of a referral, no published source.

const version = (day: number, status: string, reason?: string, code?: string): Task => ({
  resourceType: 'Task',
  id: 'task',
  meta: { versionId: String(day), lastUpdated: `2026-03-0${day}T09:00:00.000Z` },
  status,
  authoredOn: '2025-12-24',
  ...(code === undefined ? {} : { businessStatus: { coding: [{ code }] } }),
  ...(reason === undefined ? {} : { statusReason: { text: reason } }),
})
const asked = (day: number, reason: string): Task => ({
  ...version(day, 'in-progress', reason),
  businessStatus: {
    coding: [
      {
        system: 'https://footing.example/fhir/CodeSystem/business-status',
        code: 'cancellation-requested',
      },
    ],
  },
})
const at = (day: number) => `2026-03-0${day}T09:00:00.000Z`
const newestFirst = (...versions: readonly Task[]) => courseOf(versions.toReversed())

test('it was received with its first version, whatever day its sender wrote', () => {
  const course = newestFirst(version(1, 'received'), version(2, 'accepted'))

  expect(course.receivedAt).toBe(at(1))
  expect(courseOf([version(5, 'accepted')], version(1, 'requested')).receivedAt).toBe(at(1))
})

test('its state began with the first version of those that are in it, one after the other', () => {
  const course = newestFirst(
    version(1, 'accepted'),
    version(2, 'on-hold', 'The child is ill.'),
    version(3, 'accepted'),
    version(4, 'accepted'),
  )

  expect(course.since).toBe(at(3))
})

test('work in progress is told apart by its business status', () => {
  const course = newestFirst(
    version(1, 'in-progress', undefined, 'scheduled'),
    version(2, 'in-progress', undefined, 'visit-done'),
  )

  expect(course.since).toBe(at(2))
})

test('a state that no version shown begins is told from the oldest that is shown', () => {
  expect(newestFirst(version(3, 'accepted'), version(4, 'accepted')).since).toBe(at(3))
})

test.each<[string, readonly Task[], string]>([
  ['said with the state', [version(1, 'accepted'), version(2, 'on-hold', 'Ill.')], 'Ill.'],
  [
    'of the hold that has ended',
    [version(1, 'on-hold', 'Ill.'), version(2, 'accepted', 'Ill.')],
    '',
  ],
  [
    'said later in the same state',
    [version(1, 'on-hold', 'Ill.'), version(2, 'accepted', 'Ill.'), version(3, 'accepted', 'Now.')],
    'Now.',
  ],
  ['of the first state', [version(1, 'received', 'To be seen.')], 'To be seen.'],
  [
    'of a hold that goes on after nobody gave the referral up',
    [
      version(1, 'accepted'),
      version(2, 'on-hold', 'Ill.'),
      asked(3, 'Ill.'),
      version(4, 'on-hold', 'Ill.'),
    ],
    'Ill.',
  ],
  [
    'of what was before it was asked to be given up',
    [version(1, 'on-hold', 'Ill.'), asked(2, 'Ill.')],
    '',
  ],
  ['that nobody gave', [version(1, 'accepted'), version(2, 'on-hold')], ''],
])('a reason %s: "%s"', (_title, versions, why) => {
  expect(newestFirst(...versions).why).toBe(why)
})

test('of no version nothing is told', () => {
  expect(courseOf([])).toEqual({ receivedAt: undefined, since: undefined, why: '' })
})
