import type { AuditRecord } from '../fhir/audit-record.ts'
import { AppError } from '../errors.ts'
import type { Database } from '../storage/database.ts'
import type { Tx } from '../storage/transaction.ts'
import { passingFailure } from './passing-failure.ts'
import { type Appended, type Lane, Lanes } from './audit-lanes.ts'

/** Of records that belong to no clinic: a token that was refused. */
export const NO_CLINIC = '00000000-0000-0000-0000-000000000000'

/** Records that are written in the transaction of what they are about. */
export interface Sealing {
  /** The last statement of the transaction; again when the transaction is done again. */
  readonly write: (tx: Tx, record: AuditRecord) => Promise<void>
  /** The transaction was committed, or it was not. */
  readonly committed: () => void
  readonly failed: () => void
}

/** The way into the log; there is no other. */
export interface Audit {
  readonly sealing: (clinicId: string) => Sealing
  /** Durable once it returns. Records of calls that come together are written together. */
  readonly record: (clinicId: string, record: AuditRecord) => Promise<void>
  /** The same, under way when this returns unless others are: for who goes on while it is written. */
  readonly recordAtOnce: (clinicId: string, record: AuditRecord) => Promise<void>
  /** How many records this process has written. */
  readonly count: () => number
}

interface Waiting {
  readonly clinicId: string
  readonly record: AuditRecord
  readonly durable: () => void
  readonly failed: (error: unknown) => void
}

interface Made {
  readonly now: () => Date
  readonly newId: () => string
}

/** So many records are written in one statement at most. */
const TOGETHER = 500

export function openAudit(db: Pick<Database, 'committed'>, made: Made): Audit {
  const lanes = new Lanes()
  let waiting: Waiting[] = []
  let isWriting = false
  let written = 0

  const write = async (clinicId: string, group: readonly Waiting[]): Promise<void> => {
    const lane = lanes.take()
    try {
      const records = group.map(({ record }) => record)
      const appended = lane.next(clinicId, records, stamp(made))
      await db.committed(appended.statement)
      lane.advance(clinicId, appended)
      lanes.giveBack(lane)
      written += group.length
      for (const { durable } of group) durable()
    } catch (error) {
      for (const { failed } of group) failed(error)
    }
  }

  const writeAll = async (): Promise<void> => {
    while (waiting.length > 0) {
      const batch = waiting.slice(0, TOGETHER)
      waiting = waiting.slice(TOGETHER)
      const clinics = [...new Set(batch.map(({ clinicId }) => clinicId))]
      await Promise.all(
        clinics.map((clinicId) =>
          write(
            clinicId,
            batch.filter((one) => one.clinicId === clinicId),
          ),
        ),
      )
    }
    isWriting = false
  }

  const add = (
    one: Pick<Waiting, 'clinicId' | 'record'>,
    start: (write: () => void) => void,
  ): Promise<void> =>
    new Promise((durable, failed) => {
      waiting.push({ ...one, durable, failed })
      if (isWriting) return
      isWriting = true
      start(() => void writeAll())
    })

  return {
    count: () => written,
    sealing: (clinicId) =>
      sealing(lanes, clinicId, made, () => {
        written += 1
      }),
    // What else comes in this turn goes with it.
    record: (clinicId, record) => add({ clinicId, record }, setImmediate),
    recordAtOnce: (clinicId, record) => add({ clinicId, record }, (write) => write()),
  }
}

/** Without a record nothing is done; what passes is tried again as any other failure is. */
const unrecorded = (error: unknown): unknown =>
  passingFailure(error) === undefined
    ? new AppError('unavailable', 'The call could not be recorded, so nothing was done.')
    : error

const stamp = ({ now, newId }: Made) => ({ recorded: now().toISOString(), newId })

function sealing(lanes: Lanes, clinicId: string, made: Made, onDurable: () => void): Sealing {
  let lane: Lane | undefined
  let appended: Appended | undefined
  return {
    write: async (tx, record) => {
      lane ??= lanes.take()
      appended = lane.next(clinicId, [record], stamp(made))
      try {
        await tx.query(appended.statement)
      } catch (error) {
        throw unrecorded(error)
      }
    },
    committed: () => {
      if (lane === undefined || appended === undefined) return
      lane.advance(clinicId, appended)
      lanes.giveBack(lane)
      onDurable()
    },
    // Whether its last row stands is not known: the chain of this lane ends.
    failed: () => {
      lane = undefined
    },
  }
}
