import type { ShoeSize, Side } from '../child.ts'
import { evidenceOf, type Recorded } from '../facts.ts'
import type { FootMeasure } from './growth.ts'
import { warning } from './measurement-doubts.ts'
import type { RuleSet } from '../rules/rule-set.ts'
import { footLengthOfShoe, shoeSizeText, shoeSources } from './shoe-size.ts'
import type { Finding } from '../truth.ts'

/**
 * Does the shoe size that the child wears agree with the measured foot?
 *
 * Silent when it agrees or is not on record. Without a measured length the shoe gives an estimate
 * in words, good to about one size, which chooses no device.
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
  const text = shoeSizeText(shoe.value)
  const sources = shoeSources(shoe.value.system)
  const evidence = [...evidenceOf(shoe), ...(length === undefined ? [] : [length.evidence])]
  if (stands === 'unknown') {
    const because = `${text} is not a child's size of that system: is the system right?`
    const rule = `shoe-size-disagreement.${side}`
    return [warning(rule, { because, holds: 'unknown', sources, evidence })]
  }
  if (length === undefined) {
    const because = `shoe size ${text} stands for a foot of about ${stands.toFixed(0)} mm, give or take one size; it chooses no device: measure the foot`
    return [warning(`shoe-size-estimate.${side}`, { because, holds: 'unknown', sources, evidence })]
  }
  const difference = stands - length.mm
  if (Math.abs(difference) <= rules.sizing.shoeDisagreementMm) return []
  const because =
    `shoe size ${text} of ${shoe.on} stands for about ${stands.toFixed(0)} mm, the foot measures ` +
    `${length.mm.toFixed(0)} mm: ${difference > 0 ? 'the shoe is large' : 'the shoe is short'} or one of the two is wrong`
  return [warning(`shoe-size-disagreement.${side}`, { because, sources, evidence })]
}
