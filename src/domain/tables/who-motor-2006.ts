/**
 * Ages at which healthy children first manage six gross motor milestones.
 *
 * Unit:       months of 30.4375 days; percentiles of the age of attainment, so high is late
 * Population: 816 healthy children in Ghana, India, Norway, Oman and the USA, 4-24 months; a fast
 *             reference, not a norm for children with low tone
 * Source:     WHO Multicentre Growth Reference Study Group, Acta Paediatr Suppl 2006;450:86-95
 * Read from:  p1 and p99 from the abstract (PubMed 16817682); the others from one secondary
 *             transcription whose p1 and p99 agree with the abstract; the primary table was not seen;
 *             the share that never crawled from the abstract
 */
export const WHO_MOTOR_2006 = {
  source: 'who-motor-2006',
  readFrom: {
    'p1, p99, neverCrawledPercent': 'primary abstract',
    'p3, p5, p10, p25, p50, p75, p90, p95, p97': 'secondary transcription',
  },
  /** Children who never crawled on hands and knees, percent of all. */
  neverCrawledPercent: 4.3,
  months: {
    'sitting-without-support': {
      p1: 3.8,
      p3: 4.1,
      p5: 4.3,
      p10: 4.6,
      p25: 5.2,
      p50: 5.9,
      p75: 6.7,
      p90: 7.5,
      p95: 8.0,
      p97: 8.4,
      p99: 9.2,
    },
    'standing-with-assistance': {
      p1: 4.8,
      p3: 5.2,
      p5: 5.5,
      p10: 5.9,
      p25: 6.6,
      p50: 7.4,
      p75: 8.4,
      p90: 9.4,
      p95: 10.1,
      p97: 10.5,
      p99: 11.4,
    },
    'hands-and-knees-crawling': {
      p1: 5.2,
      p3: 5.8,
      p5: 6.1,
      p10: 6.6,
      p25: 7.4,
      p50: 8.3,
      p75: 9.3,
      p90: 10.5,
      p95: 11.3,
      p97: 12.0,
      p99: 13.5,
    },
    'walking-with-assistance': {
      p1: 5.9,
      p3: 6.6,
      p5: 6.9,
      p10: 7.4,
      p25: 8.2,
      p50: 9.0,
      p75: 10.0,
      p90: 11.0,
      p95: 11.8,
      p97: 12.4,
      p99: 13.7,
    },
    'standing-alone': {
      p1: 6.9,
      p3: 7.7,
      p5: 8.1,
      p10: 8.8,
      p25: 9.7,
      p50: 10.8,
      p75: 12.0,
      p90: 13.4,
      p95: 14.4,
      p97: 15.2,
      p99: 16.9,
    },
    'walking-alone': {
      p1: 8.2,
      p3: 9.0,
      p5: 9.4,
      p10: 10.0,
      p25: 11.0,
      p50: 12.0,
      p75: 13.1,
      p90: 14.4,
      p95: 15.3,
      p97: 16.0,
      p99: 17.6,
    },
  },
} as const
