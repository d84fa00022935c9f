import type { Parameters, ParametersParameter } from './r4/types.ts'

/** What a verification of the log found. */
export interface VerifiedLog {
  readonly records: number
  readonly writers: number
  readonly checkpoints: number
  /** Of the last checkpoint that holds, in hex. */
  readonly lastCheckpoint: string
  readonly fault?: LogFault
}

export interface LogFault {
  readonly of: string
  readonly is: string
  readonly why: string
  readonly writer?: string
  readonly sequence?: number
  readonly id?: string
  readonly checkpoint?: number
}

const decimal = (name: string, value: number): ParametersParameter => ({
  name,
  valueDecimal: value,
})
const text = (name: string, value: string): ParametersParameter => ({ name, valueString: value })

/** Whether the log is what was written, and if not, the first thing that is wrong. */
export function verificationParameters(verified: VerifiedLog): Parameters {
  const { records, writers, checkpoints, lastCheckpoint, fault } = verified
  return {
    resourceType: 'Parameters',
    parameter: [
      { name: 'valid', valueBoolean: fault === undefined },
      decimal('records', records),
      decimal('writers', writers),
      decimal('checkpoints', checkpoints),
      ...(checkpoints === 0 ? [] : [text('lastCheckpoint', lastCheckpoint)]),
      ...(fault === undefined ? [] : [faultParameter(fault)]),
    ],
  }
}

function faultParameter(fault: LogFault): ParametersParameter {
  const { of, is, why, writer, sequence, id, checkpoint } = fault
  return {
    name: 'fault',
    part: [
      { name: 'of', valueCode: of },
      { name: 'is', valueCode: is },
      text('why', why),
      ...(writer === undefined ? [] : [{ name: 'writer', valueId: writer }]),
      ...(sequence === undefined ? [] : [decimal('sequence', sequence)]),
      ...(id === undefined
        ? []
        : [{ name: 'event', valueReference: { reference: `AuditEvent/${id}` } }]),
      ...(checkpoint === undefined ? [] : [decimal('checkpoint', checkpoint)]),
    ],
  }
}

/** That a record is in a signed checkpoint. Hashes are in hex. */
export interface ProvenInclusion {
  /** What is hashed of the record, after a zero byte and the hash before it. */
  readonly record: string
  readonly previous: string
  readonly hash: string
  readonly checkpoint: number
  readonly leafIndex: number
  readonly treeSize: number
  readonly rootHash: string
  readonly path: readonly string[]
  /** A JWS whose payload is the checkpoint, with the root of its tree. */
  readonly signed: string
  /** JSON Web Keys that verify it. */
  readonly keys: readonly string[]
}

export const inclusionParameters = (proven: ProvenInclusion): Parameters => ({
  resourceType: 'Parameters',
  parameter: [
    text('record', proven.record),
    text('previous', proven.previous),
    text('hash', proven.hash),
    decimal('checkpoint', proven.checkpoint),
    decimal('leafIndex', proven.leafIndex),
    decimal('treeSize', proven.treeSize),
    text('rootHash', proven.rootHash),
    ...proven.path.map((hash) => text('path', hash)),
    text('signed', proven.signed),
    ...proven.keys.map((key) => text('key', key)),
  ],
})
