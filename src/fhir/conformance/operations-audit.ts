import type { Operation } from './operation.ts'

/** What administrators ask of the log. */
export const AUDIT_OPERATIONS: readonly Operation[] = [
  {
    code: 'disclosures',
    type: 'Patient',
    title: 'Accounting of disclosures',
    description:
      'What of a child went to others, but for treatment, payment and operations, of the six years before when no period is asked for (45 CFR 164.528). For the staff of the clinic.',
    affectsState: false,
    parameters: ['start', 'end'],
    answer: {
      type: 'Parameters',
      documentation: 'One part per recipient and purpose: the first in full, how many, the last.',
    },
  },
  {
    code: 'part-c-access',
    type: 'Patient',
    title: 'Record of access to early intervention records',
    description:
      'Every party outside the programme that had access to what a programme of early intervention sent about a child, treatment included (34 CFR 303.406). For the staff of the clinic.',
    affectsState: false,
    parameters: ['start', 'end'],
    answer: { type: 'Parameters', documentation: 'One part per party, purpose and day.' },
  },
  {
    code: 'unusual-use',
    type: 'AuditEvent',
    level: 'type',
    title: 'Unusual use',
    description:
      'Days on which a system made more calls, or of more children, refused or by night, than is usual. For the staff of the clinic.',
    affectsState: false,
    parameters: ['start', 'end', 'calls', 'children', 'refused', 'atNight'],
    answer: { type: 'Parameters', documentation: 'One part per system and day.' },
  },
  {
    code: 'unrelated-access',
    type: 'AuditEvent',
    level: 'type',
    title: 'Access without a referral',
    description:
      'What staff saw or changed of children of whom no referral was open. For the staff of the clinic.',
    affectsState: false,
    parameters: ['start', 'end'],
    answer: { type: 'Parameters', documentation: 'One part per event and child.' },
  },
  {
    code: 'awaiting-review',
    type: 'AuditEvent',
    level: 'type',
    title: 'Emergency access awaiting review',
    description:
      'Emergency accesses (purpose BTG or ETREAT) that no review names. For the staff of the clinic.',
    affectsState: false,
    parameters: ['start', 'end'],
    answer: { type: 'Parameters', documentation: 'One part per event.' },
  },
  {
    code: 'review',
    type: 'AuditEvent',
    level: 'type',
    title: 'Review of the log',
    description:
      'Records that the log was reviewed, by whom and with what result; the record is an AuditEvent itself. For the staff of the clinic.',
    affectsState: true,
    parameters: ['start', 'end', 'result', 'event'],
    answer: { type: 'Parameters', documentation: 'What was recorded.' },
  },
  {
    code: 'verify',
    type: 'AuditEvent',
    level: 'type',
    title: 'Verification of the log',
    description:
      'Whether the log is what was written: every chain of hashes and every signed checkpoint; if not, the first record that was changed, deleted or added. For the staff of the clinic.',
    affectsState: false,
    parameters: [],
    answer: {
      type: 'Parameters',
      documentation:
        'valid, counts, the hash of the last checkpoint, and the fault if there is one.',
    },
  },
  {
    code: 'inclusion',
    type: 'AuditEvent',
    title: 'Proof that an event is in the log',
    description:
      'The record of the event, its path in the Merkle tree of a checkpoint (RFC 9162) and the signed checkpoint. For the staff of the clinic.',
    affectsState: false,
    parameters: [],
    answer: {
      type: 'Parameters',
      documentation: 'Record, hashes, leaf index, path, and the checkpoint as a JWS with its keys.',
    },
  },
]
