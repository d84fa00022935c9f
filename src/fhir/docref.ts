import { askedWrongly, type Fault } from '../errors.ts'
import { ANSWER_FORM, type AskedParameter, namesOf, TEXT, YES_OR_NO } from './asked-parameter.ts'
import { type InstantRange, instantRange } from './date-range.ts'
import { spanOfValue } from './date-values.ts'
import type { DocumentReference } from './r4/types.ts'
import { parameterFault } from './query-values.ts'

type Pairs = readonly (readonly [string, string])[]

/** What DocumentReference/$docref of US Core is asked. */
export interface AskedDocuments {
  readonly patientId: string
  readonly start: InstantRange | undefined
  readonly end: InstantRange | undefined
  /** Any of them; of no system where none is named. */
  readonly types: readonly { readonly system: string | undefined; readonly code: string }[]
  /** Made when they are asked for: there are none such here. */
  readonly isOnDemand: boolean
}

export const DOCREF_PARAMETERS: readonly AskedParameter[] = [
  {
    name: 'patient',
    description: 'The child: its id, or Patient/[id].',
    value: TEXT,
    required: true,
  },
  { name: 'start', description: 'Documents of care from this day or instant on.', value: TEXT },
  { name: 'end', description: 'Documents of care to the end of this day or instant.', value: TEXT },
  {
    name: 'type',
    description: 'Of one of these types: code, or system|code.',
    value: TEXT,
    several: 'commas',
  },
  {
    name: 'on-demand',
    description: 'true: those alone that are made when they are asked for. There are none.',
    value: YES_OR_NO,
  },
]
const KNOWN = namesOf([...DOCREF_PARAMETERS, ...ANSWER_FORM])

/** Throws AppError with every fault. */
export function askedDocuments(parameters: Pairs): AskedDocuments {
  const faults: Fault[] = []
  for (const [name] of parameters)
    if (!KNOWN.includes(name))
      faults.push(parameterFault(name, 'not-supported', '$docref has no such parameter.'))
  const valueOf = (name: string) => parameters.find(([given]) => given === name)?.[1]
  const [, patientId] =
    /^(?:Patient\/)?([A-Za-z0-9\-.]{1,64})$/.exec(valueOf('patient') ?? '') ?? []
  if (patientId === undefined)
    faults.push(parameterFault('patient', 'required', 'The id of a Patient is needed.'))
  const dayOf = (name: 'start' | 'end') => {
    const text = valueOf(name)
    const span = text === undefined ? undefined : instantRange(text)
    if (text !== undefined && span === undefined)
      faults.push(parameterFault(name, 'value', 'A day or an instant is needed, YYYY-MM-DD.'))
    return span
  }
  const onDemand = valueOf('on-demand') ?? 'false'
  if (!['true', 'false'].includes(onDemand))
    faults.push(parameterFault('on-demand', 'value', 'true or false is needed.'))
  const asked = { start: dayOf('start'), end: dayOf('end'), types: typesIn(parameters, faults) }
  if (faults.length > 0 || patientId === undefined) throw askedWrongly(faults)
  return { patientId, ...asked, isOnDemand: onDemand === 'true' }
}

function typesIn(parameters: Pairs, faults: Fault[]): AskedDocuments['types'] {
  const tokens = parameters.flatMap(([name, value]) => (name === 'type' ? value.split(',') : []))
  return tokens.flatMap((token) => {
    const [, system, code] = /^(?:([^|\s]*)\|)?([^|\s?]+)$/.exec(token) ?? []
    if (code !== undefined) return [{ system: system === '' ? undefined : system, code }]
    faults.push(parameterFault('type', 'value', 'A code, or system|code, is needed.'))
    return []
  })
}

interface Kept {
  readonly resource: DocumentReference
  readonly updatedAt: string
}

/**
 * The documents that are asked for, newest first. Without a period the newest of each type; else those whose
 * care, or where that is not said whose making, falls into it. What is not current is not among them.
 */
export function documentsAsked<D extends Kept>(
  documents: readonly D[],
  { start, end, types, isOnDemand }: AskedDocuments,
): readonly D[] {
  const found = documents
    .filter(({ resource }) => !isOnDemand && resource.status === 'current')
    .filter(({ resource }) => types.length === 0 || types.some((type) => isOf(resource, type)))
    .toSorted((one, other) => madeAt(other) - madeAt(one))
  if (start === undefined && end === undefined) return newestOfEach(found)
  return found.filter(({ resource }) => {
    const span = spanOfValue(resource.context?.period ?? resource.date)
    return (
      span === undefined ||
      ((start === undefined || ms(span.to) > ms(start.from)) &&
        (end === undefined || ms(span.from) < ms(end.to)))
    )
  })
}

const ms = (instant: string): number => Date.parse(instant)
const madeAt = ({ resource, updatedAt }: Kept): number => ms(resource.date ?? updatedAt)

const isOf = (
  { type }: DocumentReference,
  { system, code }: AskedDocuments['types'][number],
): boolean =>
  type?.coding?.some(
    (coding) => coding.code === code && (system === undefined || coding.system === system),
  ) ?? false

function newestOfEach<D extends Kept>(documents: readonly D[]): readonly D[] {
  const newest = new Map<string, D>()
  for (const document of documents) {
    const [coding] = document.resource.type?.coding ?? []
    const key = JSON.stringify([coding?.system, coding?.code])
    if (!newest.has(key)) newest.set(key, document)
  }
  return [...newest.values()]
}
