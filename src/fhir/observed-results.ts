import type { ShoeSize, StandardisedResult } from '../domain/child.ts'
import { type Code, SHOE_SYSTEM_CODES } from './codes.ts'
import { CHILD_CODES, RESULT_CODES } from './observed-codes.ts'
import type { Observation } from './r4/types.ts'
import {
  codedOf,
  componentOf,
  type Limits,
  misread,
  quantityOf,
  read,
  type Reading,
} from './reading.ts'

/** A size without its system says nothing. */
export function shoeSize(observation: Observation): Reading<ShoeSize> {
  const component = componentOf(observation, CHILD_CODES.shoeSystem)
  if (component === undefined)
    return misread('component', 'the size system is needed: a size without it says nothing')
  const system = codedOf(component, SHOE_SYSTEM_CODES)
  if (!system.ok) return misread(`component.${system.at}`, system.text)
  const size = quantityOf(observation, ['ratio'], { min: 0, max: 300 })
  return size.ok ? read({ system: system.value, size: size.value }) : size
}

/** One form of a standardised result, as its test gives it. */
export function standardisedResult(observation: Observation): Reading<StandardisedResult> {
  const number = (code: Code, unit: 'percent' | 'ratio', limits: Limits) => {
    const component = componentOf(observation, code)
    return component === undefined ? undefined : quantityOf(component, [unit], limits)
  }
  const forms = [RESULT_CODES.percentDelay, RESULT_CODES.zScore, RESULT_CODES.standardScore]
  if (forms.filter((code) => componentOf(observation, code) !== undefined).length > 1)
    return misread('component', 'one form of the result is needed, not several')
  const percent = number(RESULT_CODES.percentDelay, 'percent', { min: -100, max: 100 })
  if (percent !== undefined)
    return percent.ok ? read({ kind: 'percent-delay', percent: percent.value }) : percent
  const z = number(RESULT_CODES.zScore, 'ratio', { min: -10, max: 10 })
  if (z !== undefined) return z.ok ? read({ kind: 'z-score', z: z.value }) : z
  const score = number(RESULT_CODES.standardScore, 'ratio', { min: 0, max: 1000 })
  const mean = number(RESULT_CODES.testMean, 'ratio', { min: 0, max: 1000 })
  const sd = number(RESULT_CODES.testSd, 'ratio', { min: 0.001, max: 1000 })
  if (score?.ok === true && mean?.ok === true && sd?.ok === true)
    return read({ kind: 'standard-score', score: score.value, mean: mean.value, sd: sd.value })
  return misread(
    'component',
    'percent-delay, z-score, or standard-score with its mean and sd is needed, as quantities',
  )
}
