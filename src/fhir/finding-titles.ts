import type { MessageKey } from '../domain/messages/catalogues.ts'
import type { Code } from './codes.ts'
import { FINDING_CODES as OF } from './finding-codes.ts'

/** What a finding is called at the head of its narrative, by its code. */
export const FINDING_TITLES: ReadonlyMap<Code, MessageKey> = new Map<Code, MessageKey>([
  [OF.chronologicalAge, 'title.chronological-age'],
  [OF.correctedAge, 'title.corrected-age'],
  [OF.milestonePercentile, 'title.milestone'],
  [OF.describedSkill, 'title.described-skills'],
  [OF.tempo, 'title.tempo'],
  [OF.expectedMilestone, 'title.expected-milestone'],
  [OF.simpleAgeEquivalent, 'title.simple-age-equivalent'],
  [OF.footPosture, 'title.foot-posture'],
  [OF.fpiSideDifference, 'title.side-difference'],
  [OF.deviceSize, 'title.device-size'],
  [OF.suitability, 'title.suitability'],
  [OF.urgency, 'title.urgency'],
  [OF.followUp, 'title.follow-up'],
  [OF.fitCheck, 'title.fit-check'],
  [OF.newSinceFitting, 'title.new-since-fitting'],
  [OF.paceRatio, 'title.pace-after-fitting'],
  [OF.nextSize, 'title.next-size'],
  [OF.programmeDates, 'title.early-intervention-dates'],
  [OF.stateThreshold, 'title.state-threshold'],
])
