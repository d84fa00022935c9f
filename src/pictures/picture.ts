import { growthPicture } from './growth-picture.ts'
import { growthSheet } from './growth-sheet.ts'
import { milestonesPicture } from './milestones-picture.ts'
import { milestonesSheet } from './milestones-sheet.ts'
import type { PictureFacts } from './picture-facts.ts'
import { posturePicture } from './posture-picture.ts'
import { postureSheet } from './posture-sheet.ts'
import { type Sheet, sheetText } from './sheet.ts'
import { urgencyPicture, urgencySheet } from './urgency-picture.ts'
import { wearPicture, wearSheet } from './wear-picture.ts'
import { type Tongue, type Words, wordsOf } from './words.ts'

/**
 * Pictures of what was found about a child, as SVG.
 *
 *     drawPicture('urgency', pictureFacts(triage, { rules, chart }, visit), { language: 'es' }).svg
 *
 * An SVG is 360 units wide, holds its own title and description, loads nothing, runs nothing, and is the same
 * for the same facts. Each number that is drawn stands in it as text or as a `data-` attribute. Its ids begin
 * with the kind, so pictures of several kinds may stand in one page.
 */
export const PICTURE_KINDS = ['milestones', 'posture', 'growth', 'wear', 'urgency'] as const
export type PictureKind = (typeof PICTURE_KINDS)[number]

export interface Picture {
  readonly svg: string
  /** What it shows, for instance over it. */
  readonly title: string
  /** Its whole content in words, for whoever cannot see it. */
  readonly description: string
}

/** @param tongue its language, and the voice: the therapist's unless the family's is asked for */
export function drawPicture(kind: PictureKind, facts: PictureFacts, tongue: Tongue): Picture {
  const words = wordsOf(tongue)
  const sheet = SHEETS[kind](facts, words)
  return { svg: sheetText(sheet, words), title: sheet.title, description: sheet.description }
}

const SHEETS: Readonly<Record<PictureKind, (facts: PictureFacts, words: Words) => Sheet>> = {
  milestones: (facts, words) => milestonesSheet(milestonesPicture(facts), words),
  posture: (facts, words) => postureSheet(posturePicture(facts), words),
  growth: (facts, words) => growthSheet(growthPicture(facts), words),
  wear: (facts, words) => wearSheet(wearPicture(facts), words),
  urgency: (facts, words) => urgencySheet(urgencyPicture(facts), words),
}
