/** What is wrong with a log: the first thing, in the order of the walk. */
export interface AuditFault {
  readonly of: 'record' | 'event' | 'checkpoint'
  readonly is: 'altered' | 'missing' | 'inserted'
  readonly why: string
  /** Of the record. */
  readonly writer?: string
  readonly sequence?: number
  /** Of the AuditEvent; unknown for a record that is gone. */
  readonly id?: string
  readonly checkpoint?: number
}

/** What is wrong in one line: `record altered …`. */
export function faultLine({ of, is, why, writer, sequence, id, checkpoint }: AuditFault): string {
  const place = [
    checkpoint === undefined ? [] : `checkpoint ${checkpoint}`,
    writer === undefined ? [] : `writer ${writer}`,
    sequence === undefined ? [] : `sequence ${sequence}`,
    id === undefined ? [] : `AuditEvent/${id}`,
  ].flat()
  return `${of} ${is}: ${place.join(', ')}. ${why}`
}
