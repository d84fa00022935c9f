import type { ShoeSize, Side } from '../child.ts'
import { evidenceOf, type Recorded } from '../facts.ts'
import type { FootMeasure } from './growth.ts'
import { warning } from './measurement-doubts.ts'
import { day, say } from '../messages/message.ts'
import type { RuleSet } from '../rules/rule-set.ts'
import { footLengthOfShoe, shoeSizeTerm, shoeSources } from './shoe-size.ts'
import type { Finding } from '../truth.ts'

/**
 * Does the shoe size that the child wears agree with the measured foot?
 *
 * Silent when it agrees or is not on record. Without a measured length the shoe gives an estimate
 * in a sentence, good to about one size, which chooses no device.
 *
 * @param length the foot, mm as loaded; undefined when it is not known
 */
export function shoeSizeCheck(
  shoe: Recorded<ShoeSize>,
  { length, side }: { readonly length: FootMeasure | undefined; readonly side: Side },
  rules: RuleSet,
): readonly Finding[] {
  if (shoe === 'unknown') return []
  const stands = footLengthOfShoe(shoe.value)
  const term = shoeSizeTerm(shoe.value)
  const sources = shoeSources(shoe.value.system)
  const evidence = [...evidenceOf(shoe), ...(length === undefined ? [] : [length.evidence])]
  if (stands === 'unknown') {
    const because = say('device-shoe.not-a-size', { shoe: term })
    const rule = `shoe-size-disagreement.${side}`
    return [warning(rule, { because, holds: 'unknown', sources, evidence })]
  }
  if (length === undefined) {
    const because = say('device-shoe.estimate', { shoe: term, stands })
    return [warning(`shoe-size-estimate.${side}`, { because, holds: 'unknown', sources, evidence })]
  }
  const difference = stands - length.mm
  if (Math.abs(difference) <= rules.sizing.shoeDisagreementMm) return []
  const because = say(difference > 0 ? 'device-shoe.large' : 'device-shoe.short', {
    shoe: term,
    on: day(shoe.on),
    stands,
    mm: length.mm,
  })
  return [warning(`shoe-size-disagreement.${side}`, { because, sources, evidence })]
}
