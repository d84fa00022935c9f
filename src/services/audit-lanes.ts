import type { AuditRecord } from '../fhir/audit-record.ts'
import { BEFORE_THE_FIRST, chainHash } from '../security/audit-chain.ts'
import { type AuditRow, appendAudit } from '../storage/audit-log.ts'
import type { Statement } from '../storage/transaction.ts'

interface Head {
  readonly sequence: number
  readonly hash: Buffer
}

const NOTHING_YET: Head = { sequence: 0, hash: BEFORE_THE_FIRST }

/** What is to be added, and where the chain then ends. */
export interface Appended {
  readonly statement: Statement
  readonly head: Head
}

/**
 * A writer of the log: it has one chain in each clinic and serves one transaction at a time, so that no
 * transaction waits for another's place in a chain.
 */
export class Lane {
  private readonly writer: string
  private readonly heads = new Map<string, Head>()

  constructor(writer: string) {
    this.writer = writer
  }

  next(
    clinicId: string,
    records: readonly AuditRecord[],
    made: { readonly recorded: string; readonly newId: () => string },
  ): Appended {
    const { recorded, newId } = made
    let head = this.heads.get(clinicId) ?? NOTHING_YET
    const rows = records.map((one): AuditRow => {
      const { hash: previous } = head
      const placed = {
        sequence: head.sequence + 1,
        id: newId(),
        recorded,
        record: JSON.stringify(one),
      }
      const hash = chainHash(previous, { ...placed, clinicId, writer: this.writer })
      head = { sequence: placed.sequence, hash }
      return { ...placed, previous, hash }
    })
    return { statement: appendAudit(clinicId, this.writer, rows), head }
  }

  /** It is durable: what comes next follows it. */
  advance(clinicId: string, { head }: Appended): void {
    this.heads.set(clinicId, head)
  }
}

/** As many lanes as there are transactions at once. */
export class Lanes {
  private readonly free: Lane[] = []
  private readonly newId: () => string

  constructor(newId: () => string) {
    this.newId = newId
  }

  take(): Lane {
    return this.free.pop() ?? new Lane(this.newId())
  }

  /** Not given back when nobody knows whether its last rows were committed: its chain ends there. */
  giveBack(lane: Lane): void {
    this.free.push(lane)
  }
}
