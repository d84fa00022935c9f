import { assert, property } from 'fast-check'
import { expect, test } from 'vitest'
import type { CivilDate } from '../../../src/domain/calendar.ts'
import { type Child, SIDES } from '../../../src/domain/child.ts'
import { followUp } from '../../../src/domain/follow-up/follow-up.ts'
import { LANGUAGES } from '../../../src/domain/messages/catalogues.ts'
import { speaker } from '../../../src/domain/messages/speaker.ts'
import { ImplausibleRecord } from '../../../src/domain/implausible.ts'
import { fittingPlan } from '../../../src/domain/plan/fitting.ts'
import { GENERIC_SIZE_CHART } from '../../../src/domain/tables/generic-size-chart.ts'
import { type ExplainedTriage, explain, triage } from '../../../src/domain/triage.ts'
import { anyChild, anyDay } from '../../helpers/any-child.ts'
import { messagesIn } from '../../helpers/messages.ts'
import { RULES } from '../../helpers/rules.ts'
import { worn } from '../../helpers/visits.ts'

const UNDER = { rules: RULES, chart: GENERIC_SIZE_CHART }

/** A brace that was not filled, a value that is none, a key that is said as it stands. */
const UNSAID = /[{}]|undefined|\bNaN\b|\[object|\bnull\b|[a-z]-[a-z]+-[a-z]+\.[a-z]/

function findings(child: Child, on: CivilDate): ExplainedTriage | undefined {
  try {
    return explain(triage(child, on, UNDER), UNDER)
  } catch (error) {
    // A record that cannot be true is refused by name; nothing else may happen.
    if (error instanceof ImplausibleRecord) return undefined
    throw error
  }
}

/** Wears a device on each foot since the day, and nothing was looked for but pain. */
function seenWith({ asOf, child }: ExplainedTriage) {
  const size = GENERIC_SIZE_CHART.sizes[5] ?? 'unknown'
  const pain = child.redFlags['pain-or-swelling']
  return {
    deliveredOn: asOf,
    wearMinutes: 'unknown' as const,
    devices: SIDES.map((side) => worn({ pain }, { side, size })),
  }
}

test('no child of the value domain makes the computation throw, and all that is found can be said', () => {
  let said = 0
  assert(
    property(anyChild, anyDay, (child, on) => {
      const found = findings(child, on)
      if (found === undefined) return
      const { outcome } = found.suitability
      const offered = outcome === 'suitable' || outcome === 'suitable-after-review'
      const visit = { ...found, ...seenWith(found), fitCheck: 'unknown' as const }
      const messages = messagesIn([
        found,
        offered ? fittingPlan(found, RULES) : [],
        // Nobody is fitted before the due date; that is refused by name.
        found.ages.months > 0 ? followUp(visit, UNDER) : [],
      ])
      for (const language of LANGUAGES) {
        const { therapist, family } = speaker(language)
        for (const message of messages) {
          expect(therapist(message)).not.toMatch(UNSAID)
          expect(family(message)).not.toMatch(UNSAID)
        }
      }
      said += messages.length
    }),
    { numRuns: 150 },
  )

  expect(said).toBeGreaterThan(0)
})
