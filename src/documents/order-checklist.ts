import { day, type Message, say } from '../domain/messages/message.ts'
import { type Checklist, type Known, known, MISSING, there } from './checklist.ts'
import type { DocumentFacts } from './document-facts.ts'
import { orthosis } from './device-table.ts'
import { joined, personText } from './referral-sections.ts'

/** What a standard written order holds; the quantity counts where there is one. */
export const STANDARD_WRITTEN_ORDER: Checklist = {
  title: 'part.list-standard-written-order',
  source: 'medicare-410-38-order',
  elements: [
    {
      label: 'part.swo-beneficiary',
      of: ({ record: { child } }) => known(child.name ?? joined(child.memberNumbers)),
    },
    {
      label: 'part.swo-order-date',
      of: ({ record: { orderedOn } }) =>
        known(orderedOn === undefined ? undefined : say('part.day-alone', { on: day(orderedOn) })),
    },
    { label: 'part.swo-description', of: itemDescription },
    { label: 'part.swo-quantity', of: quantity },
    {
      label: 'part.swo-practitioner',
      of: ({ record: { prescriber } }) =>
        known(prescriber === undefined ? undefined : personText(prescriber)),
    },
    // Whoever signs signs by hand or in a system of their own; nothing of ours stands for it.
    { label: 'part.swo-signature', of: () => MISSING },
  ],
}

/** What must stand on the receipt of a device; nothing of it is known before the delivery. */
export const PROOF_OF_DELIVERY: Checklist = {
  title: 'part.list-proof-of-delivery',
  source: 'medicare-424-57',
  elements: [
    { label: 'part.pod-name', of: ({ record }) => known(record.child.name) },
    { label: 'part.pod-address', of: ({ record }) => known(record.child.address) },
    { label: 'part.pod-description', of: itemDescription },
    { label: 'part.pod-quantity', of: quantity },
    {
      label: 'part.pod-received',
      of: ({ fitting }) =>
        known(
          fitting === undefined
            ? undefined
            : say('part.day-alone', { on: day(fitting.deliveredOn) }),
        ),
    },
    { label: 'part.pod-signature', of: () => MISSING },
  ],
}

/** What is to be written down at the fitting, where the fit class is decided by what is done. */
export const FITTING_RECORD: Checklist = {
  title: 'part.list-fitting-record',
  source: 'fit-class-414-402',
  elements: [
    { label: 'part.fit-class', of: () => MISSING },
    { label: 'part.fit-modifications', of: () => MISSING },
    { label: 'part.fit-reasons', of: () => MISSING },
    { label: 'part.fit-person', of: () => MISSING },
    { label: 'part.fit-side', of: sides },
    // A plan that tells of wear is not yet an instruction that was given.
    { label: 'part.fit-instructions', of: () => MISSING },
  ],
}

export function itemDescription({ plan }: DocumentFacts): Known {
  return plan === undefined ? MISSING : there(...plan.devices.map(orthosis))
}

export function quantity({ plan }: DocumentFacts): Known {
  return plan === undefined
    ? MISSING
    : there(
        say('part.paper-pieces', {
          pieces: plan.devices.length,
          sides: sidesOf(plan),
        }),
      )
}

export function sides({ plan }: DocumentFacts): Known {
  return plan === undefined ? MISSING : there(...sidesOf(plan))
}

/** The sides of a plan, as a part of an element. */
export const sidesOfPlan = ({ plan }: DocumentFacts): Message | undefined =>
  plan && say('part.paper-sides', { sides: sidesOf(plan) })

const sidesOf = ({ devices }: NonNullable<DocumentFacts['plan']>): readonly Message[] =>
  devices.map(({ side }) => say('part.side', { side }))
