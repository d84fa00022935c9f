import { type InstantRange, instantRange, periodRange } from './date-range.ts'
import { isObject } from './element.ts'

/** The span of a date, Period or Timing; of a Timing by its outer limits. */
export function spanOfValue(value: unknown): InstantRange | undefined {
  if (typeof value === 'string') return instantRange(value)
  if (!isObject(value)) return undefined
  if ('start' in value || 'end' in value) return periodRange(value['start'], value['end'])
  return timingRange(value)
}

function timingRange({
  event,
  repeat,
}: Readonly<Record<string, unknown>>): InstantRange | undefined {
  const bounds = isObject(repeat) ? repeat['boundsPeriod'] : undefined
  const spans = [
    ...(Array.isArray(event) ? event.map((one) => instantRange(String(one))) : []),
    isObject(bounds) ? periodRange(bounds['start'], bounds['end']) : undefined,
  ].filter((span) => span !== undefined)
  const froms = spans.map(({ from }) => from).toSorted(byTime)
  const tos = spans.map(({ to }) => to).toSorted(byTime)
  const [from] = froms
  const to = tos.at(-1)
  return from === undefined || to === undefined ? undefined : { from, to }
}

const byTime = (a: string, b: string): number => Date.parse(a) - Date.parse(b)
