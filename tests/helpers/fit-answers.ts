import { evidenceRef } from '../../src/domain/facts.ts'
import type { FitCheckAnswer } from '../../src/domain/follow-up/fit-check-result.ts'
import type { FitCheckItem } from '../../src/domain/plan/fitting.ts'

type Value = FitCheckAnswer['value']

export const answer = (
  id: string,
  value: Value,
  side: FitCheckAnswer['side'] | 'child' = 'left',
  evidence = 'QuestionnaireResponse/a/_history/1',
): FitCheckAnswer => ({
  id,
  ...(side !== 'child' && { side }),
  value,
  evidence: evidenceRef(evidence),
})

/** What fits: yes, the middle of the tolerance, no redness. */
const RIGHT: Readonly<Record<string, Value>> = {
  'heel-fully-back-and-down': true,
  'ankle-bones-free': true,
  'closure-gap': 13,
  'medial-trim-line': 4,
  'lateral-trim-line': 2,
  'no-edge-past-metatarsal-heads': true,
  redness: 0,
  'floor-to-stand-and-back': true,
}

/** Every item answered as it should be, but those of a test on the left foot or of the child. */
export const answers = (
  items: readonly FitCheckItem[],
  but: Readonly<Record<string, Value>> = {},
): readonly FitCheckAnswer[] =>
  items.map(({ id, side }) =>
    answer(id, (side === 'right' ? undefined : but[id]) ?? RIGHT[id] ?? 'unknown', side ?? 'child'),
  )
