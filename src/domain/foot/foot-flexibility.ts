import type { Foot, Side } from '../child.ts'
import { evidenceOfAll } from '../evidence.ts'
import { valueOf } from '../facts.ts'
import { type Message, say, together } from '../messages/message.ts'
import type { Finding } from '../truth.ts'
import { anyOf, TRUTHS, truthOf } from '../truth.ts'

/** The three looks at whether a foot corrects, as facts of a foot. */
export const FLEXIBILITY_TESTS = [
  'tiptoeArchAndHeelInversion',
  'greatToeExtensionRaisesArch',
  'archSeenUnloaded',
] as const

const NAMES = {
  tiptoeArchAndHeelInversion: 'part.test-tiptoe',
  greatToeExtensionRaisesArch: 'part.test-great-toe',
  archSeenUnloaded: 'part.test-unloaded',
} as const

/**
 * Does this foot correct when it is unloaded, on tiptoe or when the great toe is lifted?
 *
 * Any one of the three is enough for `yes`. `no`, a rigid foot, only when all three were done and none
 * corrects the foot: a test that was not done could still be positive. One or two negative tests
 * without a positive one are `unknown`; hence a flat look at the unloaded foot of a young child never
 * makes it rigid by itself.
 *
 * @see SOURCES flexibility-tests
 */
export function flexibleFoot(side: Side, foot: Foot): Finding {
  const results = FLEXIBILITY_TESTS.map((test) => ({ test, corrects: truthOf(foot[test]) }))
  const holds = anyOf(results.map(({ corrects }) => corrects))
  const named = TRUTHS.flatMap((answer) => {
    const tests = results.filter(({ corrects }) => corrects === answer)
    return tests.length === 0
      ? []
      : [say(`foot-tests.${answer}`, { tests: tests.map(({ test }) => say(NAMES[test])) })]
  })
  return {
    rule: `flexible-foot.${side}`,
    holds,
    because: together([say(`foot-flexible.${holds}`, { side }), ...named]),
    sources: ['flexibility-tests'],
    evidence: evidenceOfAll(FLEXIBILITY_TESTS.map((test) => foot[test])),
  }
}

/** Worth saying while rigidity is still open: a negative tiptoe or great-toe test points to it. */
export function rigidityRemark(foot: Foot, flexible: Finding): readonly Message[] {
  const negative =
    valueOf(foot.tiptoeArchAndHeelInversion) === false ||
    valueOf(foot.greatToeExtensionRaisesArch) === false
  if (flexible.holds !== 'unknown' || !negative) return []
  return [say('foot-remark.rigidity-open')]
}
