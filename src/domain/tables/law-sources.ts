/** Federal rules and guidance behind the dates and the consent gate; own words elsewhere, places here. */
export const LAW_SOURCES = {
  'idea-303-9': {
    citation: '34 CFR 303.9: a day is a calendar day',
    population: 'federal rule, IDEA Part C',
    readFrom: 'the preamble of the 2011 final rule; the section itself was not seen',
  },
  'idea-303-21': {
    citation: '34 CFR 303.21(a): who may be served, under three years',
    population: 'federal rule, IDEA Part C',
    readFrom: 'a secondary copy of the CFR, undated',
  },
  'idea-303-111': {
    citation: '34 CFR 303.111: each state defines the delay that counts',
    population: 'federal rule, IDEA Part C',
    readFrom: 'a secondary copy of the CFR, 2026-03-24',
  },
  'idea-303-209': {
    citation: '34 CFR 303.209(b)-(d): transition at three and late referral',
    population: 'federal rule, IDEA Part C',
    readFrom: 'the official page and the text of the 2011 final rule',
  },
  'idea-303-209-preamble': {
    citation: '76 FR 60244 (2011-09-28), preamble to 34 CFR 303.209: 45 and 90 days are 135',
    population: 'explanation of the federal rule, not a rule',
    readFrom: 'the official preamble',
  },
  'late-referral-charts': {
    citation:
      'Chart of a technical-assistance centre (2012): under 45, 46-90, 91-135 days; handbook of a Kansas programme: 44 or fewer, 89-45, 135-90',
    population: 'guidance; the bands differ from the rule and from each other',
    readFrom: 'the public pages',
  },
  'idea-303-303': {
    citation: '34 CFR 303.303(a)(2)(i), (c): seven calendar days to refer',
    population: 'federal rule, IDEA Part C',
    readFrom: 'the preamble of the 2011 final rule and a state rule that copies it',
  },
  'idea-303-310': {
    citation: '34 CFR 303.310(a)-(c): 45 days and the two exceptions',
    population: 'federal rule, IDEA Part C',
    readFrom: 'the official page and the text of the 2011 final rule',
  },
  'dc-5-a3107': {
    citation: 'DC Municipal Regulations 5-A3107: the timeline is extended by the period',
    population: 'one jurisdiction; no federal rule names a new date after an exception',
    readFrom: 'a copy of the rule, undated',
  },
  'virginia-day-one-2013': {
    citation: 'Virginia early intervention training note, 2013-10-29: day of referral is day 1',
    population: 'one state',
    readFrom: 'the public page',
  },
  'idea-303-321': {
    citation:
      '34 CFR 303.321(a)(3), 89 Ill. Adm. Code 500.50: informed clinical opinion may establish eligibility alone',
    population: 'federal rule, IDEA Part C',
    readFrom: 'state rules and agencies that restate it',
  },
  'idea-303-342': {
    citation: '34 CFR 303.342(b), (c): review every six months, evaluation every year',
    population: 'federal rule, IDEA Part C',
    readFrom: '(b) on the official page; (c) only in an older state copy',
  },
  'idea-303-409': {
    citation: '34 CFR 303.405, 303.409: ten calendar days to let a parent inspect the record',
    population: 'federal rule, IDEA Part C',
    readFrom: 'the preamble of the 2011 final rule and a secondary copy of the CFR, 2026-04-05',
  },
  'idea-303-414': {
    citation: '34 CFR 303.414: parental consent before data leave the Part C system',
    population: 'federal rule, IDEA Part C',
    readFrom: 'two state rules that mirror it; the federal text was not seen',
  },
  'idea-303-406': {
    citation: '34 CFR 303.406: record of the parties that obtained access',
    population: 'federal rule, IDEA Part C',
    readFrom: 'a secondary copy of the CFR, 2026-03-24',
  },
  'ferpa-99-30': {
    citation: '34 CFR 99.30: signed, dated consent that names records, purpose and recipient',
    population: 'federal rule, FERPA',
    readFrom: 'a policy collection of a school district that reproduces the 2004 text',
  },
  'hipaa-164-506': {
    citation: '45 CFR 164.506, 164.508: treatment and payment need no authorization, the rest does',
    population: 'federal rule, HIPAA',
    readFrom: '164.508(a) in the CFR of 2006; elements of an authorization from memory',
  },
  'hipaa-164-528': {
    citation: '45 CFR 164.528(a)-(b): accounting of the disclosures of six years',
    population: 'federal rule, HIPAA',
    readFrom: 'the CFR of 2004 and a copy of the rule as amended in 2002',
  },
  'hipaa-164-316': {
    citation: '45 CFR 164.316(b)(2)(i): documentation is kept six years',
    population: 'federal rule, HIPAA',
    readFrom: 'a secondary copy of the CFR; whether raw audit detail is covered is not settled',
  },
  'medicare-410-38': {
    citation: '42 CFR 410.38(d): encounter within six months before the order of a listed item',
    population: 'federal rule, Medicare',
    readFrom: 'the page of the agency and notices of its contractors',
  },
  'medicare-424-57': {
    citation: '42 CFR 424.57(c)(12): proof of delivery is kept seven years',
    population: 'federal rule, Medicare',
    readFrom: 'a notice of a Medicare contractor, undated',
  },
  'medicare-410-38-order': {
    citation: '42 CFR 410.38(d)(1): elements of a standard written order, and who may sign it',
    population: 'federal rule, Medicare; copied by many payers',
    readFrom:
      'the page of the agency and notices of its contractors; the signers from a restatement',
  },
  'medicaid-1396d-r-5': {
    citation: '42 U.S.C. 1396d(r)(5): necessary care to correct or ameliorate, under 21',
    population: 'federal law, Medicaid',
    readFrom: 'the statute and a restatement of it',
  },
  'medical-necessity-letter': {
    citation:
      'What letters of medical necessity hold, put together from the Medicare policy article A52457 and two state Medicaid texts (Texas 2011, Wisconsin 2024)',
    population: 'orthoses, United States',
    readFrom: 'no single federal list exists; the policy article from restatements',
  },
  'fit-class-414-402': {
    citation: '42 CFR 414.402: minimal self-adjustment, and what makes an item off-the-shelf',
    population: 'federal rule, Medicare',
    readFrom: 'notices of Medicare contractors',
  },
  'hcpcs-2019': {
    citation: 'Centers for Medicare & Medicaid Services. HCPCS Level II, annual file of 2019',
    population: 'items and services billed in the USA',
    readFrom: 'the file; a current one was not available',
  },
  'icd-10-cm-2026': {
    citation:
      'Centers for Medicare & Medicaid Services, Section 111 workbook of January 2026; CDC/NCHS, ICD-10-CM 2026',
    population: 'diagnoses in the USA',
    readFrom: 'the workbook, which has no Q66, and a copy of the NCHS file',
  },
} as const
