import type { AuditRecord } from '../fhir/audit-record.ts'
import { BEFORE_THE_FIRST, chainHash } from '../security/audit-chain.ts'
import { type AuditRow, appendAudit } from '../storage/audit-log.ts'
import type { Statement } from '../storage/transaction.ts'

/** A chain to which nothing was added for so long is left, and another one begun. */
const LEFT_AFTER_MS = 3_600_000
/** After so long it is left for certain, by whatever process: also where clocks differ. */
export const AT_REST_AFTER_MS = 24 * 3_600_000

interface Head {
  readonly writer: string
  readonly sequence: number
  readonly hash: Buffer
  /** ISO instant of the last record. */
  readonly recorded: string
}

/** What is to be added, and where the chain then ends. */
export interface Appended {
  readonly statement: Statement
  readonly head: Head
}

/**
 * It writes one chain at a time in each clinic and serves one transaction at a time, so that no
 * transaction waits for another's place in a chain.
 */
export class Lane {
  private readonly heads = new Map<string, Head>()

  next(
    clinicId: string,
    records: readonly AuditRecord[],
    made: { readonly recorded: string; readonly newId: () => string },
  ): Appended {
    const { recorded, newId } = made
    let head = this.headIn(clinicId, made)
    const { writer } = head
    const rows = records.map((one): AuditRow => {
      const { hash: previous } = head
      const placed = {
        sequence: head.sequence + 1,
        id: newId(),
        recorded,
        record: JSON.stringify(one),
      }
      const hash = chainHash(previous, { ...placed, clinicId, writer })
      head = { writer, sequence: placed.sequence, hash, recorded }
      return { ...placed, previous, hash }
    })
    return { statement: appendAudit(clinicId, writer, rows), head }
  }

  private headIn(
    clinicId: string,
    { recorded, newId }: { readonly recorded: string; readonly newId: () => string },
  ): Head {
    const head = this.heads.get(clinicId)
    const isLeft =
      head === undefined || Date.parse(recorded) - Date.parse(head.recorded) > LEFT_AFTER_MS
    return isLeft ? { writer: newId(), sequence: 0, hash: BEFORE_THE_FIRST, recorded } : head
  }

  /** It is durable: what comes next follows it. */
  advance(clinicId: string, { head }: Appended): void {
    this.heads.set(clinicId, head)
  }
}

/** As many lanes as there are transactions at once. */
export class Lanes {
  private readonly free: Lane[] = []

  take(): Lane {
    return this.free.pop() ?? new Lane()
  }

  /** Not given back when nobody knows whether its last rows were committed: its chain ends there. */
  giveBack(lane: Lane): void {
    this.free.push(lane)
  }
}
