import { day, type Message, say } from '../domain/messages/message.ts'
import type { ContributionId } from '../domain/urgency/urgency.ts'
import { type Axis, AXIS_HEIGHT, bottomAxis, gridLines } from './axes.ts'
import { AHEAD, CHILD, hatch, INK, MUTED, PALE } from './ink.ts'
import { legend, type LegendRow } from './legend.ts'
import type { PictureFacts } from './picture-facts.ts'
import { acrossScale, bar, boxSample, upright, uprightOnDark } from './shapes.ts'
import { type Block, nameAndValue, paragraph, type Sheet, stacked } from './sheet.ts'
import { type Attributes, mark } from './svg.ts'
import { NORMAL } from './text.ts'
import type { Words } from './words.ts'

/** The parts of the urgency, each beginning where the one before it ends, so that they add up to the score. */
export interface UrgencyPicture {
  readonly bars: readonly UrgencyBar[]
  readonly score: number
  /** What the score may be once all is known. */
  readonly high: number
  readonly urgentFrom: number
  readonly asapFrom: number
  readonly sentences: readonly Message[]
}

export interface UrgencyBar {
  readonly id: ContributionId
  /** The points of the bars before it. */
  readonly start: number
  readonly points: number
  /** The most it may be once all is known. */
  readonly high: number
  readonly max: number
  readonly because: Message
}

const WHOLE = 100

export function urgencyPicture({ triage, rules }: PictureFacts): UrgencyPicture {
  const { score, high, priority, seeBy, contributions } = triage.urgency
  let start = 0
  const bars = contributions.map(({ id, points, high: most, max, because }): UrgencyBar => {
    const bar = { id, start, points, high: most, max, because }
    start += points
    return bar
  })
  const { urgentFrom, asapFrom } = rules.urgency
  const open = high > score ? [say('urgency-picture.open', { score, high })] : []
  const sentences = [say('answer.urgency', { score, priority, seeBy: day(seeBy) }), ...open]
  return { bars, score, high, urgentFrom, asapFrom, sentences }
}

const HATCH = 'urgency-hatch'
const BAR = 12

export function urgencySheet(picture: UrgencyPicture, words: Words): Sheet {
  const { bars, sentences } = picture
  const told = sentences.map(words.of)
  const parts = bars.map(
    ({ id, points, max, because }) =>
      `${words.of(say(`contribution.${id}`))}: ${words.of(say('answer.contribution', { points, max, because }))}`,
  )
  return {
    kind: 'urgency',
    title: words.say('part.urgency-picture'),
    description: [...told, ...parts].join(' '),
    definitions: [hatch(HATCH, AHEAD)],
    blocks: [
      ...told.map((text) => paragraph(text)),
      ...barsBlocks(picture, words),
      legend(legendRows(picture, words)),
    ],
  }
}

const scale = acrossScale(0, WHOLE)

function barsBlocks(picture: UrgencyPicture, words: Words): Block[] {
  const { bars, score, high } = picture
  const points = (value: number, max: number) => words.say('part.points-of', { points: value, max })
  const axis = {
    scale,
    ticks: 5,
    text: (value: number) => words.number(value),
    title: words.say('part.points'),
  }
  const rows = [
    ...bars.map((one) => ({
      name: words.of(say(`contribution.${one.id}`)),
      value: points(one.points, one.max),
      bar: one,
      data: { 'data-contribution': one.id, 'data-max': one.max, 'data-start': one.start },
    })),
    {
      name: words.say('part.urgency-sum'),
      value: points(score, WHOLE),
      bar: { start: 0, points: score, high },
      data: { 'data-sum': 'score' },
      weight: 'bold' as const,
    },
  ]
  return [
    ...rows.map((one) => rowBlock(one, picture, axis)),
    { height: AXIS_HEIGHT, marks: bottomAxis(axis, 0) },
  ]
}

interface Row {
  readonly name: string
  readonly value: string
  readonly bar: Pick<UrgencyBar, 'start' | 'points' | 'high'>
  readonly data: Readonly<Record<string, string | number>>
  readonly weight?: 'bold'
}

function rowBlock(
  { name, value, data, weight, ...row }: Row,
  to: UrgencyPicture,
  axis: Axis,
): Block {
  const { start, points, high } = row.bar
  const across = { top: 0, bottom: BAR + 2 }
  const part = (from: number, end: number, fill: string) =>
    bar(scale, { from, to: end, y: 1, height: BAR }, { fill })
  const { urgentFrom, asapFrom } = to
  const bars = [
    part(0, WHOLE, PALE),
    ...gridLines(axis, across),
    ...(high > points ? [part(start + points, start + high, `url(#${HATCH})`)] : []),
    part(start, start + points, CHILD),
    ...uprightOnDark(scale(urgentFrom), across, { ...URGENT, 'data-urgent-from': urgentFrom }),
    ...uprightOnDark(scale(asapFrom), across, { ...ASAP, 'data-asap-from': asapFrom }),
  ]
  const { height, marks } = stacked([
    nameAndValue(name, value, { size: NORMAL, weight }),
    { height: BAR + 8, marks: bars },
  ])
  const numbers = { ...data, 'data-points': points, 'data-high': high }
  return { height, marks: [mark('g', numbers, marks)] }
}

const URGENT = { stroke: INK, 'stroke-width': 1.4, 'stroke-dasharray': '5 2' }
const ASAP = { stroke: INK, 'stroke-width': 1.6, 'stroke-dasharray': '1.5 1.5' }

function legendRows(
  { score, high, urgentFrom, asapFrom }: UrgencyPicture,
  words: Words,
): LegendRow[] {
  const dashed =
    (dash: Attributes): LegendRow['sample'] =>
    ({ x, y }) => [upright(x, { top: y - 6, bottom: y + 6 }, dash)]
  return [
    { text: words.say('part.points-known'), sample: boxSample(CHILD) },
    ...(high > score
      ? [
          {
            text: words.say('part.points-possible'),
            sample: boxSample(`url(#${HATCH})`, { stroke: MUTED }),
          },
        ]
      : []),
    { text: words.say('part.urgent-from', { from: urgentFrom }), sample: dashed(URGENT) },
    { text: words.say('part.asap-from', { from: asapFrom }), sample: dashed(ASAP) },
  ]
}
