import { type CivilDate, civilDate } from '../../src/domain/calendar.ts'
import type { ClockException } from '../../src/domain/law/clock-exceptions.ts'
import type { DeadlineFacts } from '../../src/domain/law/deadlines.ts'
import type { Fact } from '../../src/domain/facts.ts'
import type { LawDate } from '../../src/domain/law/law-date.ts'
import { fact } from './child.ts'
import { RULES } from './rules.ts'

export const SETTINGS = RULES.deadlines

export const on = (text: string): Fact<CivilDate> => fact(civilDate(text), text)

/** Nothing is on record, with what a test adds. */
export const lawFacts = (known: Partial<DeadlineFacts> = {}): DeadlineFacts => ({
  birthDate: 'unknown',
  identifiedOn: 'unknown',
  referredOn: 'unknown',
  receivedOn: 'unknown',
  determination: 'unknown',
  exceptions: 'unknown',
  planOn: 'unknown',
  inspectionAskedOn: 'unknown',
  ...known,
})

export const noExceptions = fact<readonly ClockException[]>([])
export const notDetermined = fact('not-yet' as const)
export const determinedOn = (text: string) => fact({ on: civilDate(text) }, text)

/** A documented hospital stay, unless a test says otherwise. */
export const exception = (
  start: string,
  end: string,
  known: Partial<ClockException> = {},
): ClockException => ({
  kind: 'exceptional-family-circumstances',
  documented: 'yes',
  start: civilDate(start),
  end: civilDate(end),
  ...known,
})

/** A day as the worked examples print it. */
export const printed = (date: LawDate): string =>
  date.holds === 'yes' ? `${date.on} ${date.weekday}` : date.holds

export const target = (date: LawDate): string | undefined =>
  date.holds === 'yes' ? date.workingTarget : undefined
