/**
 * How long records are kept and how far back one looks, under HIPAA and Medicare.
 *
 * Unit:       calendar years, calendar months
 * Population: providers and suppliers in the USA
 * Source:     SOURCES hipaa-164-316, hipaa-164-528, medicare-410-38, medicare-424-57
 * How read:   own words, see each entry
 */
export const RECORD_KEEPING = {
  documentation: { years: 6, section: '45 CFR 164.316(b)(2)(i)' },
  accounting: { years: 6, section: '45 CFR 164.528(a)' },
  faceToFace: { months: 6, section: '42 CFR 410.38(d)(2)' },
  proofOfDelivery: { years: 7, section: '42 CFR 424.57(c)(12)' },
} as const
