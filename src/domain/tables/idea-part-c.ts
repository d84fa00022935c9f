/**
 * Dates and spans that 34 CFR Part 303 (IDEA Part C) sets, each with its section.
 *
 * Unit:       calendar days (303.9: never a working day, never rolled forward), calendar months, years
 * Population: children under three in early intervention in the USA
 * Source:     SOURCES idea-303-*
 * How read:   own words; see the entry of each section for what was seen
 */
export const IDEA_PART_C = {
  /** A primary referral source refers no later than this after identifying the child. */
  referWithin: { days: 7, section: '34 CFR 303.303(a)(2)(i)' },
  /** From the day the agency receives the referral to the first plan meeting, all included. */
  completeWithin: { days: 45, section: '34 CFR 303.310(a)' },
  exceptions: { section: '34 CFR 303.310(b)' },
  afterException: { section: '34 CFR 303.310(c)' },
  agedOutAt: { years: 3, section: '34 CFR 303.21(a)' },
  /** Notice, conference and plan at the latest this long before the third birthday. */
  transitionBefore: { days: 90, section: '34 CFR 303.209(b)(1)(i), (c)(1), (d)(2)' },
  /** And at the earliest this long before it. */
  transitionOpensBefore: { months: 9, section: '34 CFR 303.209(c)(1), (d)(2)' },
  /** Determined with more than 45 and less than 90 days left. */
  determinedLate: { moreThanDays: 45, lessThanDays: 90, section: '34 CFR 303.209(b)(1)(ii)' },
  /** Referred with fewer days left than this. */
  referredLate: { fewerThanDays: 45, section: '34 CFR 303.209(b)(1)(iii)' },
  /** 45 + 90: from 90 to this many days left at referral both clocks run into each other. */
  compressed: { upToDays: 135, section: 'preamble to 34 CFR 303.209' },
  review: { months: 6, section: '34 CFR 303.342(b)' },
  annualEvaluation: { months: 12, section: '34 CFR 303.342(c)' },
  inspection: { days: 10, section: '34 CFR 303.409' },
} as const
