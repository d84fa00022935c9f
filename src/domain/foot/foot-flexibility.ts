import type { Foot, Side } from '../child.ts'
import { evidenceOfAll } from '../evidence.ts'
import { valueOf } from '../facts.ts'
import type { Finding } from '../truth.ts'
import { anyOf, truth } from '../truth.ts'
import { listed, sentence } from '../wording.ts'

/** The three looks at whether a foot corrects, as facts of a foot. */
export const FLEXIBILITY_TESTS = [
  'tiptoeArchAndHeelInversion',
  'greatToeExtensionRaisesArch',
  'archSeenUnloaded',
] as const

const NAMES = {
  tiptoeArchAndHeelInversion: 'the tiptoe test',
  greatToeExtensionRaisesArch: 'great-toe extension',
  archSeenUnloaded: 'the unloaded look',
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
  const results = FLEXIBILITY_TESTS.map((test) => ({ test, seen: valueOf(foot[test]) }))
  const holds = anyOf(results.map(({ seen }) => (seen === undefined ? 'unknown' : truth(seen))))
  const named = (wanted: boolean | undefined) =>
    listed(results.filter(({ seen }) => seen === wanted).map(({ test }) => NAMES[test]))
  const parts = [
    [named(true), 'corrects it'],
    [named(false), 'does not correct it'],
    [named(undefined), 'not recorded'],
  ] as const
  const words = parts.filter(([names]) => names !== '').map(([names, says]) => `${names}: ${says}`)
  return {
    rule: `flexible-foot.${side}`,
    holds,
    because: sentence(`${side} foot: ${words.join('; ')}`),
    sources: ['flexibility-tests'],
    evidence: evidenceOfAll(FLEXIBILITY_TESTS.map((test) => foot[test])),
  }
}

/** Worth saying while rigidity is still open: a negative tiptoe or great-toe test points to it. */
export function rigidityRemark(foot: Foot, flexible: Finding): readonly string[] {
  const negative =
    valueOf(foot.tiptoeArchAndHeelInversion) === false ||
    valueOf(foot.greatToeExtensionRaisesArch) === false
  if (flexible.holds !== 'unknown' || !negative) return []
  return ['A negative test points to a rigid foot; the tests not yet recorded decide']
}
