import { scaleLinear } from 'd3-scale'
import { say } from '../domain/messages/message.ts'
import { day, type Message } from '../domain/messages/message.ts'
import type { ContributionId } from '../domain/urgency/urgency.ts'
import { AXIS_HEIGHT, bottomAxis, line } from './axes.ts'
import { AHEAD, CHILD, hatch, INK, MUTED, PALE } from './ink.ts'
import { legend, type LegendRow } from './legend.ts'
import type { PictureFacts } from './picture-facts.ts'
import { type Block, MARGIN, paragraph, type Sheet, WIDTH } from './sheet.ts'
import { mark, type Mark } from './svg.ts'
import { label, NORMAL } from './text.ts'
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
const ROW = 34

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
      barsBlock(picture, words),
      legend(legendRows(picture, words)),
    ],
  }
}

const scale = scaleLinear([0, WHOLE], [MARGIN + 2, WIDTH - MARGIN - 2])

function barsBlock(picture: UrgencyPicture, words: Words): Block {
  const { bars, score, high, urgentFrom, asapFrom } = picture
  const height = (bars.length + 1) * ROW
  const points = (value: number, max: number) => words.say('part.points-of', { points: value, max })
  const rows = [
    ...bars.map((bar, index) =>
      row(index * ROW, {
        name: words.of(say(`contribution.${bar.id}`)),
        value: points(bar.points, bar.max),
        bar,
        data: { 'data-contribution': bar.id, 'data-max': bar.max, 'data-start': bar.start },
      }),
    ),
    row(bars.length * ROW, {
      name: words.say('part.urgency-sum'),
      value: points(score, WHOLE),
      bar: { start: 0, points: score, high },
      data: { 'data-sum': 'score' },
      weight: 'bold',
    }),
  ]
  const limit = (at: number, name: string) =>
    line(
      { x1: scale(at), y1: 0, x2: scale(at), y2: height },
      {
        stroke: INK,
        'stroke-dasharray': name === 'urgent' ? '5 3' : '1.5 2.5',
        [`data-${name}-from`]: at,
      },
    )
  const axis = bottomAxis({
    scale,
    top: 0,
    bottom: height,
    ticks: 5,
    text: (value) => words.number(value),
    title: words.say('part.points'),
  })
  const limits = [limit(urgentFrom, 'urgent'), limit(asapFrom, 'asap')]
  return { height: height + AXIS_HEIGHT, marks: [...axis, ...limits, ...rows] }
}

interface Row {
  readonly name: string
  readonly value: string
  readonly bar: Pick<UrgencyBar, 'start' | 'points' | 'high'>
  readonly data: Readonly<Record<string, string | number>>
  readonly weight?: 'bold'
}

function row(top: number, { name, value, bar, data, weight }: Row): Mark {
  const { start, points, high } = bar
  const style = { 'font-size': NORMAL, 'font-weight': weight }
  const y = top + NORMAL + 4
  const part = (from: number, to: number, fill: string) =>
    mark('rect', { x: scale(from), y, width: scale(to) - scale(from), height: BAR, fill })
  return mark('g', { ...data, 'data-points': points, 'data-high': high }, [
    label(name, { x: MARGIN, y: top + NORMAL }, style),
    label(value, { x: WIDTH - MARGIN, y: top + NORMAL }, { ...style, 'text-anchor': 'end' }),
    part(0, WHOLE, PALE),
    ...(high > points ? [part(start + points, start + high, `url(#${HATCH})`)] : []),
    part(start, start + points, CHILD),
  ])
}

function legendRows({ urgentFrom, asapFrom }: UrgencyPicture, words: Words): LegendRow[] {
  const box =
    (fill: string, stroke: string): LegendRow['sample'] =>
    ({ x, y }) => [mark('rect', { x: x - 11, y: y - 5, width: 22, height: 10, fill, stroke })]
  const dashed =
    (dash: string): LegendRow['sample'] =>
    ({ x, y }) => [
      line({ x1: x, y1: y - 6, x2: x, y2: y + 6 }, { stroke: INK, 'stroke-dasharray': dash }),
    ]
  return [
    { text: words.say('part.points-known'), sample: box(CHILD, CHILD) },
    { text: words.say('part.points-possible'), sample: box(`url(#${HATCH})`, MUTED) },
    { text: words.say('part.urgent-from', { from: urgentFrom }), sample: dashed('5 3') },
    { text: words.say('part.asap-from', { from: asapFrom }), sample: dashed('1.5 2.5') },
  ]
}
