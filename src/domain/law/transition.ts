import { addDays, addMonths, type CivilDate } from '../calendar.ts'
import { evidenceOfAll } from '../evidence.ts'
import type { Recorded } from '../facts.ts'
import {
  type DeadlineSettings,
  dated,
  deadline,
  type LawDate,
  type Told,
  undated,
} from './law-date.ts'
import { day, type Said, say } from '../messages/message.ts'
import { IDEA_PART_C } from '../tables/idea-part-c.ts'

const MONTHS_PER_YEAR = 12

export interface Transition {
  readonly thirdBirthday: LawDate
  /** From here a conference may be held, if all agree. */
  readonly opens: LawDate
  /** Notice to the school authorities, conference and plan, all by this day. */
  readonly due: LawDate
}

/**
 * The third birthday; for a child born on 29 February the day that the rule set says, since the federal
 * rule does not.
 *
 * @see SOURCES judgement
 */
export function thirdBirthdayOf(birthDate: CivilDate, settings: DeadlineSettings): CivilDate {
  const clamped = addMonths(birthDate, IDEA_PART_C.agedOutAt.years * MONTHS_PER_YEAR)
  const moved = clamped.slice(-2) !== birthDate.slice(-2)
  return moved && settings.leapBirthday === 'mar1' ? addDays(clamped, 1) : clamped
}

/**
 * When does the transition out of early intervention open, and by when is it due?
 *
 * From nine calendar months to 90 days before the third birthday. Unknown without a birth date.
 *
 * @see SOURCES idea-303-209, idea-303-21
 */
export function transition(birthDate: Recorded<CivilDate>, settings: DeadlineSettings): Transition {
  const evidence = evidenceOfAll([birthDate])
  const birthday: Told = {
    rule: 'part-c.third-birthday',
    sources: ['idea-303-21', 'judgement'],
    evidence,
  }
  const opens: Told = { rule: 'part-c.transition-opens', sources: ['idea-303-209'], evidence }
  const due: Told = {
    rule: 'part-c.transition-due',
    sources: ['idea-303-209', 'idea-303-9'],
    evidence,
  }
  if (birthDate === 'unknown') {
    return {
      thirdBirthday: undated(birthday, 'unknown', say('part-c.third-birthday.unknown')),
      opens: undated(opens, 'unknown', say('part-c.transition-opens.unknown')),
      due: undated(due, 'unknown', say('part-c.transition-due.unknown')),
    }
  }
  const on = thirdBirthdayOf(birthDate.value, settings)
  const { transitionOpensBefore: from, transitionBefore: by } = IDEA_PART_C
  return {
    thirdBirthday: dated(birthday, on, birthdayWords(birthDate.value, settings), settings),
    opens: dated(
      opens,
      addMonths(on, -from.months),
      say('part-c.transition-opens.yes', { months: from.months, section: from.section }),
      settings,
    ),
    due: deadline(
      due,
      addDays(on, -by.days),
      say('part-c.transition-due.yes', { days: by.days, section: by.section }),
      settings,
    ),
  }
}

function birthdayWords(birthDate: CivilDate, settings: DeadlineSettings): Said {
  const turningThree = (leapBirthday: DeadlineSettings['leapBirthday']) =>
    thirdBirthdayOf(birthDate, { ...settings, leapBirthday })
  const [feb28, mar1] = [turningThree('feb28'), turningThree('mar1')] as const
  if (feb28 === mar1) return say('part-c.third-birthday.yes')
  const other = settings.leapBirthday === 'feb28' ? mar1 : feb28
  return say('part-c.third-birthday.leap', { other: day(other) })
}
