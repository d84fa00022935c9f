import type { Tx } from './transaction.ts'

/** A range as the payload of a checkpoint says it. */
export interface ClaimedRange {
  readonly number: number
  readonly writer: string
  readonly from: number
  readonly to: number
  readonly head: string
}

export interface CoveredHash {
  readonly number: number
  readonly writer: string
  readonly sequence: number
  readonly id: string
  readonly hash: Buffer
}

/** The hashes of the records that checkpoints cover, in the order of their trees. */
export async function coveredHashes(
  tx: Tx,
  clinicId: string,
  ranges: readonly ClaimedRange[],
): Promise<readonly CoveredHash[]> {
  const rows = await tx.query<
    Omit<CoveredHash, 'number' | 'sequence'> & { number: string; sequence: string }
  >({
    name: 'covered-hashes',
    text: `select r.number, a.writer, a.sequence, a.id, a.hash
      from unnest($2::bigint[], $3::uuid[], $4::bigint[], $5::bigint[])
        with ordinality as r(number, writer, first, last, place)
      join audit_log a on a.clinic_id = $1 and a.writer = r.writer
        and a.sequence between r.first and r.last
      order by r.place, a.sequence`,
    values: [
      clinicId,
      ranges.map(({ number }) => number),
      ranges.map(({ writer }) => writer),
      ranges.map(({ from }) => from),
      ranges.map(({ to }) => to),
    ],
  })
  return rows.map((row) => ({
    ...row,
    number: Number(row.number),
    sequence: Number(row.sequence),
  }))
}

/** The first checkpoint of which a range is not stored as its payload says. */
export async function unstoredRange(
  tx: Tx,
  clinicId: string,
  ranges: readonly ClaimedRange[],
): Promise<number | undefined> {
  const [row] = await tx.query<{ number: string }>({
    name: 'unstored-range',
    text: `select c.number
      from unnest($2::bigint[], $3::uuid[], $4::bigint[], $5::bigint[], $6::bytea[])
        as c(number, writer, first, last, head)
      where not exists (select from audit_ranges r
        where r.clinic_id = $1 and r.writer = c.writer and r.last = c.last
          and r.first = c.first and r.number = c.number and r.head = c.head)
      order by c.number limit 1`,
    values: [
      clinicId,
      ranges.map(({ number }) => number),
      ranges.map(({ writer }) => writer),
      ranges.map(({ from }) => from),
      ranges.map(({ to }) => to),
      ranges.map(({ head }) => Buffer.from(head, 'hex')),
    ],
  })
  return row === undefined ? undefined : Number(row.number)
}

/** How many ranges are stored, and the first number that no checkpoint has. */
export async function storedRanges(
  tx: Tx,
  clinicId: string,
): Promise<{ readonly count: number; readonly orphan: number | undefined }> {
  const [row] = await tx.query<{ count: string; orphan: string | null }>({
    name: 'stored-ranges',
    text: `select count(*) as count, min(r.number) filter (where c.number is null) as orphan
      from audit_ranges r
      left join audit_checkpoints c on c.clinic_id = r.clinic_id and c.number = r.number
      where r.clinic_id = $1`,
    values: [clinicId],
  })
  return {
    count: Number(row?.count ?? 0),
    orphan: row === undefined || row.orphan === null ? undefined : Number(row.orphan),
  }
}
