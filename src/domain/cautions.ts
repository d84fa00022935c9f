import type { Wording } from './fitting.ts'

/** Shown with every result. */
export const CAUTIONS: readonly Wording[] = [
  {
    therapist:
      'Decision support for a qualified professional, not a diagnosis: an individual assessment decides.',
    family: 'This is a help for your therapist. Your therapist looks at your child and decides.',
  },
  {
    therapist: 'An order needs a licensed prescriber where local law says so.',
    family: 'In some places a doctor has to sign before a device can be made.',
  },
  {
    therapist:
      'The WHO milestone windows are a fast reference: 27 % of Dutch term children were not walking alone at 15 months.',
    family: 'Children learn to walk at very different ages, and most of these ages are fine.',
  },
  {
    therapist: 'Local codes and payer rules apply; no code for payment is chosen here.',
    family: 'Your clinic can tell you what your insurance pays.',
  },
  {
    therapist:
      'Loss of skills, new weakness, fever with a limp, or a painful swollen leg goes to a physician or emergency care at once.',
    family:
      'If your child loses a skill, is suddenly weak, or has fever and limps, see a doctor at once.',
  },
]
