import type { OneChild } from '../domain/identity/one-child.ts'
import { AppError, type Fault } from '../errors.ts'
import { toOutcome } from './outcome.ts'

const MATCH_GRADE = 'http://hl7.org/fhir/StructureDefinition/match-grade'
const SCORE_DIGITS = 3

/** A kept Patient that may be the child that was asked for. */
export interface PatientMatch extends OneChild {
  readonly id: string
  /** As it is kept. */
  readonly body: string
}

/** The answer of `Patient/$match`: a searchset, best first, as text. */
export function patientMatchSet({
  baseUrl,
  matches,
  total,
  remarks,
}: {
  readonly baseUrl: string
  readonly matches: readonly PatientMatch[]
  /** Also of those that are not sent. */
  readonly total: number
  /** What the caller should know of the search. */
  readonly remarks: readonly Fault[]
}): string {
  const entries = [
    ...matches.map(({ id, body, score, grade }) => {
      const search = {
        extension: [{ url: MATCH_GRADE, valueCode: grade }],
        mode: 'match',
        score: Number(score.toFixed(SCORE_DIGITS)),
      }
      const fullUrl = JSON.stringify(`${baseUrl}/Patient/${id}`)
      return `{"fullUrl":${fullUrl},"resource":${body},"search":${JSON.stringify(search)}}`
    }),
    ...outcomeEntry(remarks),
  ]
  const head = `{"resourceType":"Bundle","type":"searchset","total":${total}`
  return entries.length === 0 ? `${head}}` : `${head},"entry":[${entries.join(',')}]}`
}

function outcomeEntry(remarks: readonly Fault[]): string[] {
  if (remarks.length === 0) return []
  const { outcome } = toOutcome(new AppError('invalid-request', 'Remarks.', remarks))
  return [`{"resource":${JSON.stringify(outcome)},"search":{"mode":"outcome"}}`]
}
