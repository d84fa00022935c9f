import { day } from '../domain/messages/message.ts'
import type { FollowUp, PlanGoal } from '../domain/plan/fitting.ts'
import type { Words } from '../pictures/words.ts'
import { type Piece, table } from './document.ts'

/** When the child is seen, and what for. */
export const followed = (followUps: readonly FollowUp[], words: Words): readonly Piece[] =>
  table(
    [words.say('part.on'), words.say('part.what-for')],
    followUps.map(({ on, wording }) => [
      words.say('part.day-alone', { on: day(on) }),
      words.of(wording),
    ]),
  )

/** What is worked towards, and by when it is looked at. */
export const goalTable = (goals: readonly PlanGoal[], words: Words): readonly Piece[] =>
  table(
    [words.say('part.goal'), words.say('part.due')],
    goals.map(({ wording, due }) => [
      words.of(wording),
      words.say('part.day-alone', { on: day(due) }),
    ]),
  )
