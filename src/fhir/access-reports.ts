import type { AuditedAccess } from './audited-access.ts'
import type { Parameters, ParametersParameter } from './r4/types.ts'

/** A registered partner, as far as a report names it. */
export interface ReportedPartner {
  readonly partnerId: string
  readonly name: string
  /** The law that it is under. */
  readonly regime: string
}

interface Period {
  readonly start: string
  readonly end: string
}

/** Accesses of one party for one purpose: the first in full, how many, and the last. */
interface Row {
  readonly first: AuditedAccess
  readonly count: number
  readonly last: string
}

/**
 * Purposes that 45 CFR 164.528(a)(1) leaves out of an accounting: treatment, payment, operations, and what
 * went to the individual or its personal representative.
 */
const NOT_ACCOUNTED = new Set(['TREAT', 'ETREAT', 'BTG', 'HPAYMT', 'HOPERAT', 'PATRQT', 'FAMRQT'])

/**
 * What a disclosure was for. A provider under HIPAA asks for treatment where it states nothing; of a
 * programme or a school that states nothing it is not known.
 */
const purposeOf = ({ purpose }: AuditedAccess, partner: ReportedPartner | undefined) =>
  purpose ?? (partner?.regime === 'hipaa' ? 'TREAT' : undefined)

/** 45 CFR 164.528: what of a child went to others, but for treatment, payment and operations. */
export function accounting(
  accesses: readonly AuditedAccess[],
  partners: readonly ReportedPartner[],
  period: Period,
): Parameters {
  const counted = accesses.filter((access) => {
    const partner = partners.find(({ partnerId }) => partnerId === access.partner)
    const purpose = purposeOf(access, partner)
    const isOutside = access.partner !== undefined || purpose === 'PUBHLTH'
    return isOutside && (purpose === undefined || !NOT_ACCOUNTED.has(purpose))
  })
  return reportOf(
    'disclosure',
    summarised(counted, () => ''),
    { partners, period },
  )
}

/**
 * 34 CFR 303.406: every party outside the programme that had access to what it sent, with date and purpose;
 * treatment included, the programme itself not. One entry a party, purpose and day.
 */
export function recordOfAccess(
  accesses: readonly AuditedAccess[],
  { sender, partners }: { readonly sender: string; readonly partners: readonly ReportedPartner[] },
  period: Period,
): Parameters {
  const others = accesses.filter(({ partner }) => partner !== sender)
  const rows = summarised(others, ({ recorded }) => recorded.slice(0, 10))
  return reportOf('access', rows, { partners, period })
}

function summarised(
  accesses: readonly AuditedAccess[],
  besides: (access: AuditedAccess) => string,
): Row[] {
  const rows = new Map<string, Row>()
  for (const access of accesses.toSorted((a, b) => a.recorded.localeCompare(b.recorded))) {
    const { partner = '', client = '', purpose = '' } = access
    const key = [partner, client, purpose, besides(access)].join('|')
    const { first, count } = rows.get(key) ?? { first: access, count: 0 }
    rows.set(key, { first, count: count + 1, last: access.recorded })
  }
  return [...rows.values()]
}

function reportOf(
  name: string,
  rows: readonly Row[],
  { partners, period }: { readonly partners: readonly ReportedPartner[]; readonly period: Period },
): Parameters {
  return {
    resourceType: 'Parameters',
    parameter: [
      { name: 'period', valuePeriod: period },
      { name: 'count', valueInteger: rows.length },
      ...rows.map((row) => ({ name, part: partsOf(row, partners) })),
    ],
  }
}

function partsOf(
  { first, count, last }: Row,
  partners: readonly ReportedPartner[],
): ParametersParameter[] {
  const partner = partners.find(({ partnerId }) => partnerId === first.partner)
  const purpose = purposeOf(first, partner)
  return [
    { name: 'date', valueInstant: first.recorded },
    { name: 'recipient', valueString: partner?.name ?? first.user ?? 'the clinic' },
    { name: 'system', valueString: first.client ?? 'unknown' },
    { name: 'description', valueString: [first.did, ...first.types].join(', ') },
    purpose === undefined
      ? { name: 'purpose', valueString: 'not stated' }
      : { name: 'purpose', valueCode: purpose },
    { name: 'event', valueReference: { reference: `AuditEvent/${first.event}` } },
    ...(count === 1
      ? []
      : [
          { name: 'times', valueInteger: count },
          { name: 'last', valueInstant: last },
        ]),
  ]
}
