import { SIDES } from '../domain/child.ts'
import { day, say } from '../domain/messages/message.ts'
import { type Checklist, known, MISSING, parts, there } from './checklist.ts'
import type { DocumentFacts } from './document-facts.ts'
import { isMeasured, measuredGrowth } from './measured-growth.ts'
import { sidesOfPlan } from './order-checklist.ts'
import { orthosis, refitOf } from './device-table.ts'
import { joined, personText } from './referral-sections.ts'

/** What a letter of medical necessity holds. What only its author can say is missing until it is written. */
export const MEDICAL_NECESSITY: Checklist = {
  title: 'part.list-medical-necessity',
  source: 'medical-necessity-letter',
  elements: [
    {
      label: 'part.lmn-identity',
      of: ({ record, triage }) =>
        parts([
          ['part.paper-part-name', record.child.name],
          ['part.paper-born', say('part.day-alone', { on: day(triage.child.birthDate.value) })],
        ]),
    },
    {
      label: 'part.lmn-diagnosis',
      of: ({ record, triage }) =>
        parts([
          ['part.paper-part-diagnosis', joined(record.diagnoses.map(({ text }) => text))],
          ['part.paper-part-problem', isMet(triage, 'functional-concern')],
        ]),
    },
    { label: 'part.lmn-examination', of: examined },
    { label: 'part.lmn-why', of: () => MISSING },
    {
      label: 'part.lmn-previous',
      of: ({ fitting }) =>
        known(
          fitting === undefined
            ? undefined
            : say('paper-previous.worn', { on: day(fitting.deliveredOn) }),
        ),
    },
    {
      label: 'part.lmn-item',
      of: (facts) =>
        parts([
          ['part.paper-part-item', facts.plan?.devices[0] && orthosis(facts.plan.devices[0])],
          ['part.paper-part-side', sidesOfPlan(facts)],
          ['part.paper-part-fit-class', undefined],
          ['part.paper-part-code', undefined],
        ]),
    },
    { label: 'part.lmn-less-costly', of: () => MISSING },
    {
      label: 'part.lmn-goals',
      of: ({ plan }) =>
        parts([
          ['part.paper-part-goals', plan !== undefined && plan.goals.length > 0],
          ['part.paper-part-functional-gain', undefined],
        ]),
    },
    {
      label: 'part.lmn-wear',
      of: ({ plan, fitting }) => {
        if (fitting?.isStopped === true) return there(say('wear-picture.stopped'))
        return plan === undefined ? MISSING : there(plan.wear.wording)
      },
    },
    {
      label: 'part.lmn-duration',
      of: ({ plan }) => known(plan?.devices[0] && refitOf(plan.devices[0])),
    },
    {
      label: 'part.lmn-growth',
      of: (facts) =>
        parts([
          ['part.paper-part-growth', SIDES.some((side) => isMeasured(measuredGrowth(facts, side)))],
          [
            'part.paper-part-replacement',
            facts.plan?.devices.some(({ sizing }) => sizing.refit?.median !== undefined),
          ],
        ]),
    },
    {
      label: 'part.lmn-names',
      of: ({ record: { referrer, prescriber } }) => {
        const therapist = referrer === undefined ? undefined : personText(referrer)
        const signs = prescriber === undefined ? undefined : personText(prescriber)
        return parts([
          [
            'part.paper-part-therapist-name',
            therapist === undefined
              ? undefined
              : say('part.paper-part-therapist', { who: therapist }),
          ],
          [
            'part.paper-part-prescriber-name',
            signs === undefined ? undefined : say('part.paper-part-prescriber', { who: signs }),
          ],
          ['part.paper-part-dates', undefined],
          ['part.paper-part-signatures', undefined],
        ])
      },
    },
  ],
}

type Triage = DocumentFacts['triage']

export const isMet = ({ suitability }: Triage, rule: string): boolean =>
  suitability.criteria.some((one) => one.rule === rule && one.holds === 'yes')

function examined({ triage }: DocumentFacts) {
  const { child, tempo } = triage
  const feet = SIDES.map((side) => child.feet[side])
  const { signs, redFlags } = child
  return parts([
    ['part.paper-part-tone', child.tone !== 'unknown'],
    ['part.paper-part-strength', redFlags['marked-weakness'] !== 'unknown'],
    [
      'part.paper-part-range',
      feet.some(({ ankleDorsiflexion }) => ankleDorsiflexion !== 'unknown'),
    ],
    [
      'part.paper-part-loaded',
      SIDES.some((side) => triage.posture[side].excessivePronation.holds !== 'unknown'),
    ],
    [
      'part.paper-part-unloaded',
      feet.some(({ archSeenUnloaded }) => archSeenUnloaded !== 'unknown'),
    ],
    [
      'part.paper-part-gait',
      signs['wide-guarded-gait'] !== 'unknown' || signs['heel-contact-seen'] !== 'unknown',
    ],
    ['part.paper-part-motor', tempo.state === 'estimated' || child.standardised !== 'unknown'],
  ])
}
