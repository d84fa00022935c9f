/**
 * What a child with Medicaid is owed beyond the plan of its state.
 *
 * Unit:       years
 * Population: children with Medicaid in the USA
 * Source:     SOURCES medicaid-1396d-r-5
 * How read:   the words of the statute; a formal diagnosis is not a federal condition, each state sets its own
 *             test of medical necessity
 */
export const MEDICAID_UNDER_21 = {
  source: 'medicaid-1396d-r-5',
  underYears: 21,
  section: '42 U.S.C. 1396d(r)(5)',
  words:
    'to correct or ameliorate defects and physical and mental illnesses and conditions discovered by the screening services, whether or not such services are covered under the State plan',
} as const
