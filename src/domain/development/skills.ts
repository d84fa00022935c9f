import type { Attainment } from './attainment.ts'
import type { CivilDate } from '../calendar.ts'
import { type Child, DESCRIBED_SKILLS, type DescribedSkill, type SkillCheck } from '../child.ts'
import { type Contradiction, evidenceOf, latest, type Recorded } from '../facts.ts'
import { ImplausibleRecord } from '../implausible.ts'
import { say } from '../messages/message.ts'
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
    return {
      skill,
      finding: {
        rule: `skill.${skill}`,
        holds: fact === 'unknown' ? 'unknown' : truth(fact.value.attained),
        because: say(`described-skill.${whatIsKnown(fact, contradiction)}`, {
          skill: say(`skill.${skill}`),
        }),
        sources: ['common-practice'],
        evidence: contradiction?.evidence ?? evidenceOf(fact),
      },
    }
  })
}

function whatIsKnown(
  fact: Recorded<SkillCheck>,
  contradiction: Contradiction | undefined,
): 'yes' | 'no' | 'no-check' | 'contradicted' {
  if (fact !== 'unknown') return fact.value.attained ? 'yes' : 'no'
  return contradiction === undefined ? 'no-check' : 'contradicted'
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
      said: say(`milestone.${milestone}`),
      holds: current,
      evidence,
    })),
    ...skills.map(({ skill, finding }) => ({
      name: skill,
      said: say(`skill.${skill}`),
      holds: finding.holds,
      evidence: finding.evidence,
    })),
  ].filter(({ name }) => WEIGHT_BEARING.has(name))
  const holds = anyOf(shown.map((one) => one.holds))
  const deciding = shown.filter((one) => one.holds === holds).map(({ said }) => said)
  const because = say(`bears-weight.${holds}`, { skills: deciding })
  const evidence = [...new Set(shown.flatMap((one) => one.evidence))].toSorted()
  return { rule: 'bears-weight', holds, because, sources: ['common-practice'], evidence }
}
