/** Where the numbers of `STATE_THRESHOLDS` were read. None is a measurement: they are rules of eligibility. */
export const STATE_SOURCES = {
  'states-table-2015': {
    citation:
      "States' and territories' definitions of/criteria for IDEA Part C eligibility, national technical-assistance table, updated 2015-03-04",
    population: 'all states, data to October 2014',
    readFrom: 'the first page only: Alabama, Alaska, American Samoa',
  },
  'state-az': {
    citation: 'Arizona Early Intervention Program, eligibility',
    population: 'Arizona',
    readFrom: 'page of the state agency, undated',
  },
  'state-ca': {
    citation:
      'California Early Start: 33 % to 25 % from 2022-07-01 (budget note of 2022-09-06); pages of a regional centre (25 %) and of a county office (33 % and 50 %)',
    population: 'California',
    readFrom: 'secondary pages; the rule itself was not seen',
  },
  'state-co': {
    citation: 'Colorado 12 CCR 2509-10, emergency rule docket 2020-00475: 25 % to 33 %',
    population: 'Colorado',
    readFrom: 'the docket; whether 33 % is still in force was not confirmed',
  },
  'state-ct': {
    citation: 'Connecticut Birth to Three, eligibility',
    population: 'Connecticut',
    readFrom: 'page of the state agency, undated',
  },
  'state-de': {
    citation:
      'Comparison of the definitions of Pennsylvania, New Jersey and Delaware by a hospital',
    population: 'Delaware',
    readFrom: 'a secondary page, undated',
  },
  'state-il': {
    citation: 'Illinois Early Intervention Clearinghouse, eligibility',
    population: 'Illinois',
    readFrom: 'page of the state clearinghouse, undated, after July 2020',
  },
  'state-in': {
    citation: '470 IAC 3.1-7-1',
    population: 'Indiana',
    readFrom: 'the state rule, current to 2024-09-18',
  },
  'state-ia': {
    citation: 'Iowa Admin. Code 281-120.21',
    population: 'Iowa',
    readFrom: 'the state rule, effective 2012-05-23',
  },
  'state-nj': {
    citation: 'N.J.A.C. 8:17-7.1',
    population: 'New Jersey',
    readFrom: 'an undated copy of the state rule',
  },
  'state-ny': {
    citation: '10 NYCRR 69-4.1(g)',
    population: 'New York',
    readFrom: 'as quoted by the state agency, undated; communication-only rule from a family site',
  },
  'state-pa': {
    citation: 'Pennsylvania: eligibility page of a county agency; comparison page of a hospital',
    population: 'Pennsylvania',
    readFrom: 'both undated; the state rule was not seen',
  },
  'state-tx': {
    citation: '26 TAC 350.809; 26 TAC 350.823 (continuing eligibility)',
    population: 'Texas',
    readFrom: 'a copy of the state rule of 2025-05-21; 350.823 on the official page',
  },
  'state-wa': {
    citation: 'Washington Early Support for Infants and Toddlers, eligibility',
    population: 'Washington',
    readFrom: 'page of the state agency, undated',
  },
} as const
