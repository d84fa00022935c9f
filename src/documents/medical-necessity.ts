import { SIDES } from '../domain/child.ts'
import { day } from '../domain/messages/message.ts'
import { MEDICAID_UNDER_21 } from '../domain/tables/medicaid-under-21.ts'
import { drawPicture } from '../pictures/picture.ts'
import type { Words } from '../pictures/words.ts'
import { missingOf } from './checklist.ts'
import { goalTable } from './course-tables.ts'
import { devices } from './device-table.ts'
import type { PlannedFacts } from './document-facts.ts'
import { blanks, heading, list, paragraph, picture, type Section, section } from './document.ts'
import { development, posture } from './findings.ts'
import { history, withCode } from './history.ts'
import { growthText, measuredGrowth } from './measured-growth.ts'
import { MEDICAL_NECESSITY } from './necessity-checklist.ts'
import { visits, wear } from './plan-sections.ts'
import { childSection, referralSection } from './referral-sections.ts'
import { sinceFitting } from './worn-sections.ts'

/**
 * The statement of medical necessity: facts of the record and what was computed from them. It concludes nothing
 * and promises nothing; what only its author can say has a place that is left empty.
 *
 * @see SOURCES medical-necessity-letter, medicaid-1396d-r-5
 */
export const medicalNecessity = (facts: PlannedFacts, words: Words): readonly Section[] => [
  childSection(facts, words),
  referralSection(facts, words),
  ...sinceFitting(facts, words),
  problem(facts, words),
  examination(facts, words),
  need(facts, words),
  law(words),
  section('items', words.say('part.paper-items'), devices(facts.plan, words), [
    blanks(words.say('part.paper-blank-fit-class'), words.say('part.paper-blank-less-costly')),
  ]),
  growth(facts, words),
  section(
    'goals',
    words.say('part.goals'),
    goalTable(facts.fitting?.goals ?? facts.plan.goals, words),
    blanks(words.say('part.paper-blank-gain')),
  ),
  section('wear', words.say('part.wear'), wear(facts, words), visits(facts, words)),
  history(facts, words),
  section('evidence', words.say('part.evidence'), list(facts.plan.evidence.map(words.of))),
  section(
    'missing',
    words.say('part.paper-missing'),
    list(missingOf(MEDICAL_NECESSITY, facts, words)),
  ),
  section('cautions', words.say('part.cautions'), list(facts.plan.cautions.map(words.of))),
]

function problem({ record, triage }: PlannedFacts, words: Words): Section {
  const concern = triage.suitability.criteria.filter(
    ({ rule, holds }) => rule === 'functional-concern' && holds === 'yes',
  )
  return section(
    'problem',
    words.say('part.paper-problem'),
    paragraph(words.say('paper-necessity.facts')),
    list([
      ...record.diagnoses.map(({ text, code }) => withCode(text, code)),
      ...concern.map(({ because }) => words.of(because)),
    ]),
  )
}

const examination = (facts: PlannedFacts, words: Words): Section =>
  section(
    'examination',
    words.say('part.paper-examination'),
    heading(words.say('part.paper-development')),
    list(development(facts).map(words.of)),
    picture(drawPicture('milestones', facts, words)),
    heading(words.say('part.paper-feet')),
    list(posture(facts).map(words.of)),
    picture(drawPicture('posture', facts, words)),
  )

const need = ({ triage, fitting }: PlannedFacts, words: Words): Section =>
  section(
    'need',
    words.say('part.paper-need'),
    paragraph(words.of(triage.suitability.because)),
    list(triage.suitability.criteria.map(({ because }) => words.of(because))),
    paragraph(
      fitting === undefined
        ? words.say('paper-previous.none')
        : words.say('paper-previous.worn', { on: day(fitting.deliveredOn) }),
    ),
    blanks(words.say('part.paper-blank-without'), words.say('part.paper-blank-previous')),
  )

function law(words: Words): Section {
  const { underYears: years, section: place, words: text } = MEDICAID_UNDER_21
  return section(
    'law',
    words.say('part.paper-law', { years }),
    paragraph(words.say('paper-law.correct-or-ameliorate', { section: place, years, words: text })),
  )
}

const growth = (facts: PlannedFacts, words: Words): Section =>
  section(
    'growth',
    words.say('part.paper-growth'),
    list([
      ...SIDES.map((side) => words.of(growthText(measuredGrowth(facts, side), side))),
      ...facts.plan.devices.flatMap(({ sizing: { refit } }) =>
        refit === undefined ? [] : [words.of(refit.because)],
      ),
    ]),
    picture(drawPicture('growth', facts, words)),
  )
