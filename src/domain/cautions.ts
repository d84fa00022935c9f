import type { Wording } from './plan/fitting.ts'

/** What holds for everything that is computed here; shown with every result. */
export const CAUTIONS: readonly Wording[] = [
  {
    therapist:
      'Decision support for a qualified professional, not a diagnosis. An individual assessment decides; orders need a licensed prescriber where local law says so.',
    family:
      'This is a suggestion. Your orthotist looks at your child and decides together with you.',
  },
  {
    therapist:
      'The motor reference is a fast one: 27 % of Dutch term children were not walking alone at 15 months.',
    family:
      'The figures we compare with come from other children. They are a guide and not a verdict on your child.',
  },
  {
    therapist: 'Local codes and payer rules apply and are not checked here.',
    family: 'What your insurance pays for can differ. The clinic can help you to find out.',
  },
  {
    therapist:
      'Loss of skills, new one-sided weakness, pain with fever or a new limp go to a physician at once, emergencies to emergency care.',
    family:
      'If your child suddenly loses a skill, is weak on one side, or has a fever with a limp or pain, please see a doctor right away.',
  },
]
