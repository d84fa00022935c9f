import { SIDES } from '../domain/child.ts'
import { day, say } from '../domain/messages/message.ts'
import { termsOf } from '../domain/decision/rule-terms.ts'
import { type Checklist, known, MISSING, parts, there } from './checklist.ts'
import { sidesOfPlan } from './order-checklist.ts'
import { guardianText, joined, personText, relationshipText } from './referral-sections.ts'

/** The data without which a referral cannot be answered, and whether this one had them. */
export const REFERRAL_DATA: Checklist = {
  title: 'part.list-referral',
  source: 'judgement',
  elements: [
    { label: 'part.rmd-purpose', of: ({ record }) => known(joined(record.questions)) },
    {
      label: 'part.rmd-service',
      of: (facts) =>
        parts([
          ['part.paper-part-item', facts.record.service],
          ['part.paper-part-side', sidesOfPlan(facts)],
        ]),
    },
    {
      label: 'part.rmd-identity',
      of: ({ record: { child, guardians } }, words) =>
        parts([
          ['part.paper-part-name', child.name],
          [
            'part.paper-part-guardian',
            joined(guardians.flatMap((one) => guardianText(one, words))),
          ],
          [
            'part.paper-part-contact',
            [child.contact, ...guardians.map(({ contact }) => contact)].some(
              (one) => one !== undefined,
            ),
          ],
        ]),
    },
    {
      label: 'part.rmd-authority',
      of: ({ record: { guardians } }, words) =>
        parts([
          [
            'part.paper-part-relationship',
            joined(guardians.flatMap((one) => relationshipText(one, words))),
          ],
          ['part.paper-part-authority', undefined],
        ]),
    },
    {
      label: 'part.rmd-consent',
      of: ({ record: { consents } }) => {
        const count = consents.filter(({ isInForce }) => isInForce).length
        return count === 0 ? MISSING : there(say('part.paper-consent-recorded', { count }))
      },
    },
    {
      label: 'part.rmd-sender',
      of: ({ record: { referrer, regime } }) =>
        parts([
          [
            'part.paper-part-sender',
            referrer === undefined
              ? undefined
              : (joined([
                  ...new Set(
                    [personText(referrer), referrer.organization].flatMap((one) => one ?? []),
                  ),
                ]) ?? undefined),
          ],
          [
            'part.paper-part-regime-open',
            regime === 'unknown'
              ? undefined
              : say('part.paper-part-regime', { regime: regime.toUpperCase() }),
          ],
        ]),
    },
    {
      label: 'part.rmd-age',
      of: ({ triage: { child } }) =>
        parts([
          ['part.paper-born', say('part.day-alone', { on: day(child.birthDate.value) })],
          ['part.paper-part-gestation', child.gestationDays !== 'unknown'],
        ]),
    },
    {
      label: 'part.rmd-milestones',
      of: ({ triage: { child } }) =>
        child.milestoneChecks.length === 0 ? MISSING : there(say('part.paper-milestones')),
    },
    {
      label: 'part.rmd-findings',
      of: ({ triage: { child, posture } }) =>
        parts([
          ['part.paper-part-tone', child.tone !== 'unknown'],
          [
            'part.paper-part-foot',
            SIDES.some((side) => posture[side].excessivePronation.holds !== 'unknown'),
          ],
        ]),
    },
    {
      label: 'part.rmd-diagnoses',
      of: ({ record }) => known(joined(record.diagnoses.map(({ text }) => text))),
    },
    {
      label: 'part.rmd-exclusions',
      of: ({ triage: { suitability } }) =>
        parts(
          suitability.exclusions.map((one) => {
            const screened = say('part.paper-part-screen', { rules: termsOf([one], one.holds) })
            return [screened, one.holds === 'unknown' ? undefined : screened] as const
          }),
        ),
    },
    { label: 'part.rmd-coverage', of: ({ record }) => known(joined(record.coverages)) },
    {
      label: 'part.rmd-urgency',
      of: ({ triage: { urgency } }) =>
        there(
          say('answer.urgency', {
            score: urgency.score,
            priority: urgency.priority,
            seeBy: day(urgency.seeBy),
          }),
        ),
    },
    {
      label: 'part.rmd-reply',
      of: () =>
        parts([
          ['part.paper-part-reply', true],
          ['part.paper-part-by-when', undefined],
        ]),
    },
  ],
}
