import type { Answers } from '../../src/domain/decision/decision.ts'

/** Both feet affected and flexible, every criterion met, no exclusion. */
export const MET: Answers = {
  'age-in-range': 'yes',
  'bears-weight': 'yes',
  'low-tone': 'yes',
  'excessive-pronation.left': 'yes',
  'excessive-pronation.right': 'yes',
  'flexible-foot.left': 'yes',
  'flexible-foot.right': 'yes',
  'functional-concern': 'yes',
  'raised-tone': 'no',
  'fixed-calf.left': 'no',
  'fixed-calf.right': 'no',
  'skin-or-sensation.left': 'no',
  'skin-or-sensation.right': 'no',
}
