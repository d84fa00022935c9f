import { type CivilDate, civilDate } from '../domain/calendar.ts'
import type { Context } from './context.ts'

/** No place on earth is further ahead of UTC. */
const FURTHEST_EAST_MS = 14 * 3_600_000

const dayAt = (ms: number): CivilDate => civilDate(new Date(ms).toISOString().slice(0, 10))

/** Today in UTC. */
export const today = ({ now }: Pick<Context, 'now'>): CivilDate => dayAt(now().getTime())

/** The latest day that it is anywhere on earth: nothing can have been observed after it. */
export const latestDay = ({ now }: Context): CivilDate => dayAt(now().getTime() + FURTHEST_EAST_MS)
