import { scaleLinear } from 'd3-scale'
import { day, type Message, say } from '../domain/messages/message.ts'
import type { WearDay } from '../domain/plan/fitting.ts'
import { type Axis, AXIS_HEIGHT, bottomAxis } from './axes.ts'
import { CHILD, INK, MUTED, PAPER } from './ink.ts'
import { legend } from './legend.ts'
import type { PictureFacts } from './picture-facts.ts'
import { bar, upright } from './shapes.ts'
import { type Block, MARGIN, paragraph, type Sheet, WIDTH } from './sheet.ts'
import { mark, type Mark } from './svg.ts'
import { label, SMALL, textWidth } from './text.ts'
import type { Words } from './words.ts'

/** How long the devices are worn on each of the first days. */
export interface WearPicture {
  /** None where no plan can be proposed. */
  readonly days: readonly WearDay[]
  readonly targetMinutes?: number
  readonly barefootMinutes?: number
  /** The day of wearing on which it is drawn; none before the delivery. */
  readonly today?: number
  readonly sentences: readonly Message[]
}

/** Of devices that are worn the days since their delivery; none while they stay off. */
export function wearPicture({ plan, triage, fitting }: PictureFacts): WearPicture {
  if (fitting?.isStopped === true) return { days: [], sentences: [say('wear-picture.stopped')] }
  const wear = fitting?.wear ?? plan?.wear
  if (wear === undefined)
    return {
      days: [],
      sentences: [say('wear-picture.none'), triage.suitability.because],
    }
  const { days, targetMinutesPerDay, barefootMinutesPerDay, wording } = wear
  const today =
    fitting === undefined
      ? []
      : [say('wear-picture.day', { on: day(fitting.deliveredOn), day: fitting.day })]
  return {
    days,
    targetMinutes: targetMinutesPerDay,
    barefootMinutes: barefootMinutesPerDay,
    ...(fitting !== undefined && { today: fitting.day }),
    sentences: [wording, ...today],
  }
}

export function wearSheet(picture: WearPicture, words: Words): Sheet {
  const told = picture.sentences.map(words.of)
  const days = picture.days.map(({ day, minutes }) =>
    words.say('answer.wear-step', { from: day, to: 0, minutes }),
  )
  return {
    kind: 'wear',
    title: words.say('part.wear-picture'),
    description: [...told, ...days].join(' '),
    blocks: [
      ...told.map((text) => paragraph(text)),
      ...(picture.targetMinutes === undefined
        ? []
        : [
            daysBlock(picture, picture.targetMinutes, words),
            targetLegend(picture.targetMinutes, words),
          ]),
    ],
  }
}

const MINUTES_PER_HOUR = 60
const ROW = 18
const BAR = 14
const PAD = 5
/** Where the bars begin and where the longest ends: names stand before them. */
const [FIRST, LAST] = [MARGIN + 46, WIDTH - MARGIN - 8]
const TARGET = { stroke: INK, 'stroke-dasharray': '5 2', 'stroke-width': 1.4 }

function daysBlock(
  { days, barefootMinutes, today }: WearPicture,
  target: number,
  words: Words,
): Block {
  const most = Math.max(target, ...days.map(({ minutes }) => minutes))
  const hours = scaleLinear([0, most / MINUTES_PER_HOUR], [FIRST, LAST])
  const axis = {
    scale: hours,
    ticks: 6,
    text: (value: number) => words.number(value, 1),
    title: words.say('part.hours-a-day'),
  }
  const bottom = days.length * ROW
  const end = hours(target / MINUTES_PER_HOUR)
  return {
    height: bottom + AXIS_HEIGHT,
    marks: [
      mark('g', { 'data-barefoot': barefootMinutes }, [
        ...days.map((one, index) =>
          dayMarks(one, { axis, words, top: index * ROW, isToday: one.day === today }),
        ),
        upright(end, { top: 0, bottom }, { ...TARGET, 'data-target': target }),
      ]),
      ...bottomAxis(axis, bottom),
    ],
  }
}

interface On {
  readonly axis: Axis
  readonly words: Words
  readonly top: number
  readonly isToday: boolean
}

/** The minutes stand in the bar where there is room, else behind it. */
function dayMarks({ day: of, minutes }: WearDay, { axis, words, top, isToday }: On): Mark {
  const { scale } = axis
  const end = scale(minutes / MINUTES_PER_HOUR)
  const y = top + SMALL + 1
  const text = words.say('unit.minutes', { minutes })
  const fits = textWidth(text, SMALL) + 2 * PAD < end - FIRST
  const place = fits
    ? { x: end - PAD, 'text-anchor': 'end', fill: PAPER }
    : { x: end + PAD, fill: MUTED }
  const ink = isToday ? { fill: CHILD, stroke: INK, 'stroke-width': 2.5 } : { fill: CHILD }
  const data = { 'data-day': of, 'data-minutes': minutes, ...(isToday && { 'data-today': of }) }
  return mark('g', data, [
    label(words.say('part.day-number', { day: of }), { x: MARGIN, y }),
    bar(scale, { from: 0, to: minutes / MINUTES_PER_HOUR, y: top + 1, height: BAR }, ink),
    label(text, { x: place.x, y }, place),
  ])
}

const targetLegend = (target: number, words: Words): Block =>
  legend([
    {
      text: words.say('part.wear-target', { hours: target / MINUTES_PER_HOUR }),
      sample: ({ x, y }) => [upright(x, { top: y - 6, bottom: y + 6 }, TARGET)],
    },
  ])
