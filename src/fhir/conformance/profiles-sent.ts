import { EXCHANGE_CODES, SYSTEMS } from '../codes.ts'
import type { Profile } from './profile.ts'

const VALUE_SET = 'https://footing.example/fhir/ValueSet'

/** What a records system sends; each rule is one that src/fhir/profiles.ts and its neighbours enforce. */
export const SENT_PROFILES: readonly Profile[] = [
  {
    id: 'referred-child',
    type: 'Patient',
    isOfAll: true,
    title: 'A child who is referred',
    description: 'A Patient who can be found again and whose ages can be counted.',
    elements: [
      {
        path: 'identifier',
        min: 1,
        short: 'One with system and value, so that a repeated referral finds the same child',
        rule: 'patient-identifier',
      },
      {
        path: 'birthDate',
        min: 1,
        short: 'With year, month and day, not in the future: every age is counted from it',
        rule: 'patient-birth-date',
      },
    ],
  },
  {
    id: 'orthotic-referral',
    type: 'ServiceRequest',
    title: 'A referral for orthotic assessment',
    description: 'The request that is triaged when it comes in.',
    elements: [
      {
        path: 'status',
        short: 'Sent as active; then draft, active, completed, revoked or entered-in-error',
        rule: 'referral-status',
      },
      {
        path: 'intent',
        short: 'proposal, plan, order or original-order',
        rule: 'referral-intent',
      },
      {
        path: 'code',
        min: 1,
        short: 'Makes it a referral; any other ServiceRequest is kept as it is',
        pattern: EXCHANGE_CODES.referral,
      },
      { path: 'subject.reference', min: 1, short: 'The child', rule: 'referral-subject' },
    ],
  },
  {
    id: 'referral-task',
    type: 'Task',
    title: 'The Task of a referral',
    description:
      'Carries the state of a referral and, once it is triaged, priority, see-by date and results.',
    elements: [
      {
        path: 'status',
        short: 'Sent as requested; then by the steps of a referral, never ready',
        rule: 'task-status',
      },
      {
        path: 'code',
        min: 1,
        short: 'Makes it the Task of a referral',
        pattern: EXCHANGE_CODES.referral,
      },
      { path: 'focus.reference', min: 1, short: 'The ServiceRequest', rule: 'task-focus' },
      { path: 'for.reference', min: 1, short: 'The same child', rule: 'task-for' },
    ],
  },
  {
    id: 'fact',
    type: 'Observation',
    title: 'A fact that rules read',
    description:
      'One fact of a child on one day: a milestone, a sign, a measurement of a foot. The codes say which values each takes; an Observation without such a code is kept as it is.',
    elements: [
      {
        path: 'code',
        short: 'Exactly one code that rules read; each fact is sent by itself',
        binding: `${VALUE_SET}/facts`,
        rule: 'observation-code',
      },
      { path: 'subject.reference', min: 1, short: 'The child', rule: 'observation-subject' },
      {
        path: 'effective[x]',
        min: 1,
        type: 'dateTime',
        short: 'The day, with year, month and day, not in the future',
        rule: 'observation-date',
      },
      {
        path: 'bodySite',
        short: 'Of a fact of a foot: left-foot or right-foot',
        binding: `${VALUE_SET}/side`,
        rule: 'observation-side',
      },
    ],
  },
  {
    id: 'worn-device',
    type: 'DeviceUseStatement',
    isOfAll: true,
    title: 'A device that a child wears',
    description:
      'Which foot wears a device, and since when: what a follow-up is evaluated against.',
    elements: [
      {
        path: 'bodySite',
        min: 1,
        short: 'left-foot or right-foot',
        binding: `${VALUE_SET}/side`,
        rule: 'device-use-side',
      },
      {
        path: 'timing[x]',
        min: 1,
        short: 'A Period or date with the day of the delivery',
        rule: 'device-use-date',
      },
    ],
  },
  {
    id: 'rule-set',
    type: 'Library',
    isOfAll: true,
    title: 'A rule set of a clinic',
    description:
      'Every threshold and weight that is a judgement, as JSON; draft, then active, then retired.',
    elements: [
      {
        path: 'identifier',
        min: 1,
        short: `One of ${SYSTEMS.ruleSet}: its id`,
        rule: 'rule-set.identifier',
      },
      { path: 'version', min: 1, short: 'A version is taken once', rule: 'rule-set.version' },
      {
        path: 'type',
        short: 'Says that it is a rule set',
        pattern: EXCHANGE_CODES.ruleSet,
        rule: 'rule-set.type',
      },
      {
        path: 'content',
        min: 1,
        max: '1',
        short: 'The JSON itself, application/json',
        rule: 'rule-set.content',
      },
    ],
  },
]
