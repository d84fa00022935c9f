import type { Client } from 'pg'

/** What the invented observations are of; every hundredth child has all of them. */
export const CODES = 20
export const SYSTEM = 'https://bench.example/codes'
const PER_CHILD = 100

export const childId = (index: number): string => `bench-child-${index}`

/**
 * Invented observations of a clinic, a hundred a child, written by SQL as the service would index them: from
 * the number that is there up to another. The same number gives the same observations.
 */
export async function observations(
  client: Client,
  clinicId: string,
  { from, to }: { readonly from: number; readonly to: number },
): Promise<void> {
  await client.query(
    `insert into resources (clinic_id, type, id, version, partner_id, deleted, body, updated_at, patient_id,
      code_system, code, status, date_start, date_end, created_at)
    select $1, 'Observation', 'bench-' || n, 1, null, false,
      json_build_object('resourceType', 'Observation', 'id', 'bench-' || n,
        'meta', json_build_object('versionId', '1', 'lastUpdated', '2026-01-01T00:00:00.000Z'),
        'text', json_build_object('status', 'generated', 'div',
          '<div xmlns="http://www.w3.org/1999/xhtml">An invented observation, number ' || n || '</div>'),
        'status', 'final',
        'code', json_build_object('coding', json_build_array(
          json_build_object('system', $2::text, 'code', 'code-' || n % ${CODES}))),
        'subject', json_build_object('reference', 'Patient/bench-child-' || n / ${PER_CHILD}),
        'effectiveDateTime', to_char(day, 'YYYY-MM-DD'),
        'valueQuantity', json_build_object('value', n % 997, 'unit', 'mm',
          'system', 'http://unitsofmeasure.org', 'code', 'mm'))::text,
      at, 'bench-child-' || n / ${PER_CHILD}, $2, 'code-' || n % ${CODES}, 'final', day, day + interval '1 day', at
    from (select n, timestamptz '2020-01-01' + n % 2000 * interval '1 day' as day,
      timestamptz '2024-01-01' + n * interval '1 second' as at from generate_series($3::int, $4::int - 1) n) one`,
    [clinicId, SYSTEM, from, to],
  )
  await client.query(
    `insert into index_quantities (clinic_id, type, id, partner_id, path, ordinal, low, high, system, code, unit)
    select $1, 'Observation', 'bench-' || n, null, 'valueQuantity', 0, n % 997, n % 997,
      'http://unitsofmeasure.org', 'mm', 'mm'
    from generate_series($2::int, $3::int - 1) n`,
    [clinicId, from, to],
  )
  await client.query('analyze resources, index_quantities')
}
