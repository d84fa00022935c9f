import {
  DESCRIBED_SKILLS,
  DIMENSIONS,
  MILESTONES,
  RED_FLAG_SIGNS,
  type Side,
  SIDES,
  SIGNS,
} from '../domain/child.ts'
import { type Code, GESTATION_CODES } from './codes.ts'
import {
  CHILD_CODES,
  DIMENSION_CODES,
  FOOT_CODES,
  MILESTONE_CODES,
  RED_FLAG_CODES,
  SIGN_CODES,
  SKILL_CODES,
} from './observed-codes.ts'

/** The observation to send for a fact: its code, and the foot when it is of one. */
export interface FactCode {
  readonly code: Code
  readonly side?: Side
}

const prefixed = <K extends string>(
  list: string,
  keys: readonly K[],
  codes: Readonly<Record<K, Code>>,
): [string, FactCode][] => keys.map((key) => [`${list}.${key}`, { code: codes[key] }])

const ofFoot = (name: string, code: Code): [string, FactCode][] =>
  SIDES.map((side) => [`${name}.${side}`, { code, side }])

/** Names of facts, as the rules use them, to the observation that carries them. */
export const FACT_CODES: ReadonlyMap<string, FactCode> = new Map([
  ...prefixed('milestoneChecks', MILESTONES, MILESTONE_CODES),
  ...prefixed('skillChecks', DESCRIBED_SKILLS, SKILL_CODES),
  ...prefixed('signs', SIGNS, SIGN_CODES),
  ...prefixed('redFlags', RED_FLAG_SIGNS, RED_FLAG_CODES),
  ...Object.entries(FOOT_CODES).flatMap(([name, code]) => ofFoot(name, code)),
  ...DIMENSIONS.flatMap((dimension) => ofFoot(dimension, DIMENSION_CODES[dimension])),
  ...Object.entries(CHILD_CODES).map(([name, code]): [string, FactCode] => [name, { code }]),
  ['gestationDays', { code: GESTATION_CODES[0] }],
])

/** Every observation that would carry the fact; none for a fact that is no observation. */
export function factCodes(fact: string): readonly FactCode[] {
  if (fact === 'milestoneChecks') return MILESTONES.map((name) => ({ code: MILESTONE_CODES[name] }))
  const found = FACT_CODES.get(fact)
  return found === undefined ? [] : [found]
}
