import * as fc from 'fast-check'
import type { PatchStep } from './fhir-model-writes.ts'
import type { Json } from './referral.ts'

// What the random interactions are made of. A number names one of what is there when its step comes.

export const TYPES = ['Patient', 'Observation', 'Organization'] as const
export type ModelType = (typeof TYPES)[number]

export const SYSTEM = 'http://ids.example/a'
export const KEYS = ['a', 'b', 'c', 'd', 'e', 'f']
export const CODES = ['http://codes.example/a', 'http://codes.example/b']
export const DATES = [
  '2025',
  '2025-03',
  '2025-03-01',
  '2025-03-01T00:00:00Z',
  '2025-03-01T10:00:00Z',
  '2025-03-01T10:00:00.500Z',
  '2025-03-01T23:30:00-02:00',
  '2025-04-01',
  '2025-12-31',
  '2026-01',
]
export const BIRTH_DATES = ['2023-05-05', '2023-05-06', '2024-02-29', '2024-12-31']

/** The place that a number stands for: a kept one, seldom one that never was. */
export interface Pick {
  (type: ModelType, index: number): string
  /** None where nothing of the type is there. */
  readonly live: (type: ModelType, index: number) => string | undefined
}
/** Something that is made when its step comes. */
export type Made<Value> = (pick: Pick) => Value
export const INDEX = fc.nat(99)

export const always =
  <Value>(value: Value): Made<Value> =>
  () =>
    value
/** Seldom to what is not there. */
const reference = (type: ModelType): fc.Arbitrary<Made<Json | undefined>> =>
  INDEX.map((index) => (pick) => {
    const place = index % 12 === 0 ? pick(type, index / 12) : pick.live(type, index)
    return place === undefined ? undefined : { reference: place }
  })

const identifier = fc.constantFrom(...KEYS).map((value) => [{ system: SYSTEM, value }])
const looseIdentifier = fc.oneof(
  identifier,
  fc.constantFrom('a', 'b').map((value) => [{ value }]),
)
const coding = fc.oneof(
  fc.record({ system: fc.constantFrom(...CODES), code: fc.constantFrom('x', 'y') }),
  fc.constant({ code: 'x' }),
)
const code = fc.oneof(
  {
    weight: 4,
    arbitrary: fc.array(coding, { minLength: 1, maxLength: 2 }).map((one) => ({ coding: one })),
  },
  { weight: 1, arbitrary: fc.constant({ text: 'An invented observation' }) },
)
const period = fc
  .tuple(
    fc.nat(DATES.length - 1),
    fc.nat(DATES.length - 1),
    fc.constantFrom('both', 'start', 'end'),
  )
  .map(([one, other, given]) => ({
    ...(given === 'end' ? {} : { start: DATES[Math.min(one, other)] }),
    ...(given === 'start' ? {} : { end: DATES[Math.max(one, other)] }),
  }))
const effective: fc.Arbitrary<Json> = fc.oneof(
  fc.constantFrom(...DATES).map((one) => ({ effectiveDateTime: one })),
  period.map((one) => ({ effectivePeriod: one })),
  fc.constant({}),
)
const optional = (name: string, member: fc.Arbitrary<Made<unknown>>): fc.Arbitrary<Made<Json>> =>
  fc.option(member).map((made) => (pick) => {
    const member = made?.(pick)
    return member === undefined ? {} : { [name]: member }
  })

const content: Readonly<Record<ModelType, fc.Arbitrary<Made<Json>>>> = {
  Organization: fc
    .tuple(
      fc.option(looseIdentifier),
      fc.constantFrom('North', 'South'),
      optional('partOf', reference('Organization')),
    )
    .map(([ids, name, partOf]) => (pick) => ({
      ...(ids === null ? {} : { identifier: ids }),
      name,
      ...partOf(pick),
    })),
  Patient: fc
    .tuple(
      identifier,
      fc.constantFrom(...BIRTH_DATES),
      optional('managingOrganization', reference('Organization')),
    )
    .map(([ids, birthDate, organization]) => (pick) => ({
      identifier: ids,
      birthDate,
      ...organization(pick),
    })),
  Observation: fc
    .tuple(
      fc.option(looseIdentifier),
      code,
      effective,
      fc.constantFrom('final', 'amended'),
      optional('subject', reference('Patient')),
    )
    .map(([ids, codes, when, status, subject]) => (pick) => ({
      ...(ids === null ? {} : { identifier: ids }),
      status,
      code: codes,
      ...when,
      ...subject(pick),
    })),
}

export const resourceOf = (type: ModelType): fc.Arbitrary<Made<Json>> =>
  content[type].map((made) => (pick) => ({ resourceType: type, ...made(pick) }))

const step = (op: PatchStep['op'], path: string, value?: unknown): Made<PatchStep> =>
  always(value === undefined ? { op, path } : { op, path, value })
const PATCHES: Readonly<Record<ModelType, readonly Made<PatchStep>[]>> = {
  Patient: [
    step('replace', '/birthDate', '2024-02-28'),
    step('remove', '/birthDate'),
    step('add', '/active', true),
    step('test', '/birthDate', '2023-05-05'),
  ],
  Organization: [
    step('replace', '/name', 'East'),
    step('remove', '/partOf'),
    step('test', '/name', 'North'),
    step('remove', '/identifier'),
  ],
  Observation: [
    step('replace', '/status', 'corrected'),
    step('remove', '/code'),
    step('remove', '/subject'),
    step('test', '/status', 'final'),
    step('add', '/issued', '2025-03-01T10:00:00Z'),
    (pick) => ({ op: 'add', path: '/subject', value: { reference: pick('Patient', 1) } }),
  ],
}
export const patchOf = (type: ModelType): fc.Arbitrary<Made<readonly PatchStep[]>> =>
  fc
    .array(fc.constantFrom(...PATCHES[type]), { minLength: 1, maxLength: 2 })
    .map((made) => (pick) => made.map((one) => one(pick)))
