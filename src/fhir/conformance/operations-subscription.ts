import type { Operation } from './operation.ts'

/** Of the guide "Subscriptions R5 Backport": how a subscriber learns what it has missed. */
export const SUBSCRIPTION_OPERATIONS: readonly Operation[] = [
  {
    code: 'status',
    type: 'Subscription',
    level: 'type-and-instance',
    title: 'Where subscriptions stand',
    description:
      'State, number of events since the start, and what is wrong if something is; of one subscription or of all that the caller sees.',
    affectsState: false,
    parameters: ['id', 'status'],
    answer: {
      type: 'Bundle',
      documentation: 'A searchset of Parameters (backport-subscription-status-r4).',
    },
  },
  {
    code: 'events',
    type: 'Subscription',
    title: 'What a subscription has counted',
    description:
      'The events as the caller may see them now, a hundred at most, told or not. A number that is not there is one of which nothing may be told.',
    affectsState: false,
    parameters: ['eventsSinceNumber', 'eventsUntilNumber', 'content'],
    answer: { type: 'Bundle', documentation: 'A history, as a notification is.' },
  },
]
