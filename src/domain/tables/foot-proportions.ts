/**
 * Where the landmarks of a foot lie, as shares of its length.
 *
 * Unit:   share of the loaded foot length: the ends between which nearly all feet lie, and the middle
 * Source: from memory and our own judgement; no table for young children was seen. They shape the
 *         generic size chart and catch slips of the pen; a foot is always measured.
 */
export const FOOT_PROPORTIONS = {
  source: 'memory',
  heelToFirstMetatarsalHead: { low: 0.7, middle: 0.73, high: 0.76 },
  heelToFifthToeSulcus: { low: 0.71, middle: 0.74, high: 0.77 },
  instepGirth: { low: 0.85, middle: 1.02, high: 1.25 },
  /** Beyond these a value is questioned: half the foot, the whole foot, and twice around. */
  questioned: {
    'heel-to-first-metatarsal-head': { low: 0.5, high: 1 },
    'heel-to-fifth-toe-sulcus': { low: 0.5, high: 1 },
    'instep-girth': { low: 0.7, high: 1.6 },
  },
} as const
