import { AppError, type Fault } from '../errors.ts'
import { SYSTEMS } from './codes.ts'

export interface Answer {
  readonly status: number
  readonly outcome: OutcomeResource
}

interface OutcomeResource {
  readonly resourceType: 'OperationOutcome'
  readonly issue: readonly object[]
}

/** What a caller reads of anything that was thrown. Unexpected text goes nowhere. */
export function toOutcome(error: unknown): Answer {
  if (error instanceof AppError)
    return {
      status: error.status,
      outcome: {
        resourceType: 'OperationOutcome',
        issue:
          error.faults.length > 0
            ? error.faults.map(issueOf)
            : [{ severity: 'error', code: error.issue, details: { text: error.message } }],
      },
    }
  // A database error quotes its parameters, hence a child's data: none of its text leaves.
  return {
    status: 500,
    outcome: {
      resourceType: 'OperationOutcome',
      issue: [
        {
          severity: 'fatal',
          code: 'exception',
          details: { text: 'The service failed. Nothing was stored.' },
        },
      ],
    },
  }
}

// The rule's identifier lets a client act on a fault without reading its text.
export const issueOf = (fault: Fault): object => ({
  severity: fault.severity,
  code: fault.code,
  details: { coding: [{ system: SYSTEMS.rule, code: fault.rule }], text: fault.text },
  ...(fault.expression === '' ? {} : { expression: [fault.expression] }),
})
