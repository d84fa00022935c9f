import type { Attainment } from './attainment.ts'
import type { CivilDate } from '../calendar.ts'
import { type Child, DESCRIBED_SKILLS, type DescribedSkill } from '../child.ts'
import { evidenceOf, latest } from '../facts.ts'
import { ImplausibleRecord } from '../implausible.ts'
import { anyOf, type Finding, truth } from '../truth.ts'

export interface SkillFinding {
  readonly skill: DescribedSkill
  /** `skill.<skill>` */
  readonly finding: Finding
}

/**
 * Which of the skills without a reference row does the child have, by the latest look up to a day?
 *
 * Words only: no age, no percentile. Unknown when nobody looked or the latest day disagrees.
 *
 * @throws ImplausibleRecord for a check before birth
 */
export function describedSkills(child: Child, asOf: CivilDate): readonly SkillFinding[] {
  const checks = child.skillChecks.filter((check) => check.on <= asOf)
  if (checks.some((check) => check.on < child.birthDate.value))
    throw new ImplausibleRecord('skillChecks', 'a skill was checked before birth')
  return DESCRIBED_SKILLS.map((skill) => {
    const own = checks.filter((check) => check.value.skill === skill)
    const { fact, contradiction } = latest(skill, own)
    const because =
      fact !== 'unknown'
        ? `${fact.value.attained ? 'seen' : 'not seen'} at the latest look; described, not measured`
        : contradiction === undefined
          ? 'no check on record'
          : 'the latest checks disagree'
    return {
      skill,
      finding: {
        rule: `skill.${skill}`,
        holds: fact === 'unknown' ? 'unknown' : truth(fact.value.attained),
        because,
        sources: ['common-practice'],
        evidence: contradiction?.evidence ?? evidenceOf(fact),
      },
    }
  })
}

const WEIGHT_BEARING: ReadonlySet<string> = new Set([
  'standing-with-assistance',
  'walking-with-assistance',
  'standing-alone',
  'walking-alone',
  'pulling-to-stand',
])

/**
 * Does the child carry weight on the feet: stands with assistance or beyond, or pulls to stand?
 *
 * One that is seen suffices. No only when each was looked for and none was there at its latest
 * look: a later skill does not prove an earlier one, nor does its absence disprove it.
 */
export function bearsWeight(
  attainments: readonly Attainment[],
  skills: readonly SkillFinding[],
): Finding {
  const shown = [
    ...attainments.map(({ milestone, current, evidence }) => ({
      name: milestone,
      holds: current,
      evidence,
    })),
    ...skills.map(({ skill, finding }) => ({
      name: skill,
      holds: finding.holds,
      evidence: finding.evidence,
    })),
  ].filter(({ name }) => WEIGHT_BEARING.has(name))
  const holds = anyOf(shown.map((one) => one.holds))
  const names = shown
    .filter((one) => one.holds === holds)
    .map(({ name }) => name.replaceAll('-', ' '))
    .join(', ')
  const because = {
    yes: `bears weight: ${names}`,
    no: `looked for and not there: ${names}`,
    unknown: `none seen, and no check that decides: ${names}`,
  }[holds]
  const evidence = [...new Set(shown.flatMap((one) => one.evidence))].toSorted()
  return { rule: 'bears-weight', holds, because, sources: ['common-practice'], evidence }
}
