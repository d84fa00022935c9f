export type FitClass =
  | 'prefabricated-ots'
  | 'custom-fabricated'
  | 'addition'
  | 'unlisted'
  | 'modifier'

export interface ItemCandidate {
  readonly code: string
  readonly title: string
  readonly fit: FitClass
}

/**
 * Codes of orthoses of the ankle, of additions and of modifiers that may concern a supramalleolar orthosis, with
 * their published titles. Codes of devices that end near the top of the calf are left out. A list to choose from:
 * which one applies is for the person who bills.
 *
 * Unit:       none
 * Population: HCPCS Level II, United States
 * Source:     SOURCES hcpcs-2019
 * How read:   the annual file of 2019; a current file was not available, so reload it before billing
 */
export const HCPCS_CANDIDATES: readonly ItemCandidate[] = [
  {
    code: 'L1902',
    title:
      'Ankle orthosis, ankle gauntlet or similar, with or without joints, prefabricated, off-the-shelf',
    fit: 'prefabricated-ots',
  },
  {
    code: 'L1904',
    title: 'Ankle orthosis, ankle gauntlet or similar, with or without joints, custom fabricated',
    fit: 'custom-fabricated',
  },
  {
    code: 'L1906',
    title: 'Ankle foot orthosis, multiligamentous ankle support, prefabricated, off-the-shelf',
    fit: 'prefabricated-ots',
  },
  {
    code: 'L1907',
    title:
      'Ankle orthosis, supramalleolar with straps, with or without interface/pads, custom fabricated',
    fit: 'custom-fabricated',
  },
  {
    code: 'L2275',
    title:
      'Addition to lower extremity, varus/valgus correction, plastic modification, padded/lined',
    fit: 'addition',
  },
  {
    code: 'L2820',
    title:
      'Addition to lower extremity orthosis, soft interface for molded plastic, below knee section',
    fit: 'addition',
  },
  {
    code: 'L2999',
    title: 'Lower extremity orthoses, not otherwise specified',
    fit: 'unlisted',
  },
  {
    code: 'RT',
    title: 'Right side (used to identify procedures performed on the right side of the body)',
    fit: 'modifier',
  },
  {
    code: 'LT',
    title: 'Left side (used to identify procedures performed on the left side of the body)',
    fit: 'modifier',
  },
  {
    code: 'RA',
    title: 'Replacement of a dme, orthotic or prosthetic item',
    fit: 'modifier',
  },
]
