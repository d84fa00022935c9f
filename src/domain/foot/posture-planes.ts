import type { Foot, FpiItems } from '../child.ts'
import { uniqueEvidence } from '../evidence.ts'
import { evidenceOf, valueOf } from '../facts.ts'
import type { Evidence, Recorded } from '../facts.ts'
import { type Message, say, together } from '../messages/message.ts'
import type { Plane, PlanePosture } from './posture.ts'
import type { RuleSet } from '../rules/rule-set.ts'
import { ARCH_INDICES_2018 } from '../tables/arch-indices-2018.ts'
import type { SourceId } from '../tables/sources.ts'
import type { Truth } from '../truth.ts'
import { anyOf, truth } from '../truth.ts'
import type { Degrees, Millimetres, Months } from '../units.ts'
import { yearsOf } from '../units.ts'

/** One way to look at a plane. Not met is never marked. */
interface Measure {
  readonly name: string
  readonly met: Truth
  readonly marked: Truth
  readonly words: Message
  readonly sources: readonly SourceId[]
  readonly evidence: readonly Evidence[]
}

type Limits = RuleSet['posture']

/**
 * Does this foot, standing, roll in beyond the limit in each of the three planes?
 *
 * Per plane the first measure that decides is used and named:
 * - coronal: FPI item 3, then resting heel eversion (degrees);
 * - sagittal: FPI items 4 (talonavicular bulge) and 5 (arch), then a footprint index at an age for
 *   which a limit is published, then navicular drop (mm);
 * - transverse: FPI item 6.
 * Measures found valid in children come first; heel eversion in degrees is not among them
 * (Banwell 2018), and the limit of the navicular drop is an adult convention.
 *
 * `unknown` when no measure decides. Whether a plane is marked may be told by a later measure when the
 * first cannot grade it. Measures that disagree are named in a remark.
 */
export function planesOf(
  foot: Foot,
  age: Months,
  limits: Limits,
): { readonly planes: readonly PlanePosture[]; readonly remarks: readonly Message[] } {
  const measures: readonly [Plane, readonly Measure[]][] = [
    [
      'coronal',
      [
        ...fpiMeasure(foot, { plane: 'coronal', items: [3] }, limits),
        ...heelEversion(foot.heelEversion, limits),
      ],
    ],
    [
      'sagittal',
      [
        ...fpiMeasure(foot, { plane: 'sagittal', items: [4, 5] }, limits),
        ...archIndex('staheli-index', foot.staheliIndex, age),
        ...archIndex('chippaux-smirak-index', foot.chippauxSmirakPercent, age),
        ...navicularDrop(foot.navicularDrop, limits),
      ],
    ],
    ['transverse', fpiMeasure(foot, { plane: 'transverse', items: [6] }, limits)],
  ]
  return {
    planes: measures.map(([plane, of]) => decided(plane, of)),
    remarks: measures.flatMap(([plane, of]) => disagreement(plane, of)),
  }
}

function decided(plane: Plane, measures: readonly Measure[]): PlanePosture {
  const rule = `excessive-pronation.${plane}`
  const decides = measures.find((measure) => measure.met !== 'unknown')
  if (decides === undefined) {
    const why = say(measures.length === 0 ? 'foot-plane.not-recorded' : 'foot-plane.undecided', {
      plane: say(`plane.${plane}`),
    })
    const because = together([why, ...measures.map((measure) => measure.words)])
    const evidence = uniqueEvidence(measures.map((measure) => measure.evidence))
    const finding = { rule, holds: 'unknown', because, sources: ['judgement'], evidence } as const
    return { plane, marked: 'unknown', finding }
  }
  const marked = measures.find((measure) => measure.marked !== 'unknown')?.marked ?? 'unknown'
  const { met: holds, words: because, sources, evidence } = decides
  const finding = { rule, holds, because, sources, evidence }
  return { plane, marked, measure: decides.name, finding }
}

function disagreement(plane: Plane, measures: readonly Measure[]): readonly Message[] {
  const known = measures.filter((measure) => measure.met !== 'unknown')
  if (new Set(known.map((measure) => measure.met)).size < 2) return []
  const disagree = say('foot-remark.measures-disagree', { plane: say(`plane.${plane}`) })
  return [together([disagree, ...known.map((measure) => measure.words)])]
}

interface FpiOfPlane {
  readonly plane: Plane
  readonly items: readonly (keyof FpiItems)[]
}

/** Several items of one plane: met when either is met, not met only when all are known. */
function fpiMeasure(foot: Foot, { plane, items }: FpiOfPlane, limits: Limits): Measure[] {
  const fpi = valueOf(foot.fpi)
  if (fpi === undefined) return []
  const reaches = (limit: number) =>
    anyOf(
      items.map((item) => {
        const score = fpi[item]
        return score === undefined ? 'unknown' : truth(score >= limit)
      }),
    )
  const scores = items.map((item) => {
    const score = fpi[item]
    return score === undefined
      ? say('part.fpi-item-not-judged', { item })
      : say('part.fpi-item', { item, score })
  })
  const met = reaches(limits.fpiItemMet)
  return [
    {
      name: `fpi-item${items.length > 1 ? 's' : ''}-${items.join('-')}`,
      met,
      marked: reaches(limits.fpiItemMarked),
      words: say(`foot-posture-index.${met}`, {
        items: scores,
        limit: limits.fpiItemMet,
        plane: say(`plane.${plane}`),
      }),
      sources: ['fpi-redmond-2006', 'judgement'],
      evidence: evidenceOf(foot.fpi),
    },
  ]
}

function heelEversion(recorded: Recorded<Degrees>, limits: Limits): Measure[] {
  if (recorded === 'unknown') return []
  const { heelEversionMetDegrees: met, heelEversionMarkedDegrees: marked } = limits
  return [
    {
      name: 'resting-heel-eversion',
      met: truth(recorded.value > met),
      marked: truth(recorded.value > marked),
      words:
        recorded.value < 0
          ? say('foot-measure.resting-heel-inversion', { inverted: Math.abs(recorded.value), met })
          : say('foot-measure.resting-heel-eversion', { degrees: recorded.value, met }),
      sources: ['fpi-redmond-2006', 'judgement'],
      evidence: [recorded.evidence],
    },
  ]
}

function navicularDrop(recorded: Recorded<Millimetres>, limits: Limits): Measure[] {
  if (recorded === 'unknown') return []
  const { navicularDropMetMm: met, navicularDropMarkedMm: marked } = limits
  return [
    {
      name: 'navicular-drop',
      met: truth(recorded.value > met),
      marked: truth(recorded.value > marked),
      words: say('foot-measure.navicular-drop', { mm: recorded.value, met }),
      sources: ['memory'],
      evidence: [recorded.evidence],
    },
  ]
}

/** No limit is published for younger children, so there is no measure; and none grades "marked". */
function archIndex(
  name: 'staheli-index' | 'chippaux-smirak-index',
  recorded: Recorded<number>,
  age: Months,
): Measure[] {
  const rows =
    name === 'staheli-index' ? ARCH_INDICES_2018.staheli : ARCH_INDICES_2018.chippauxSmirak
  const years = yearsOf(age)
  const row = rows.find(({ fromYears, toYears }) => years >= fromYears && years < toYears)
  if (recorded === 'unknown' || row === undefined) return []
  const flat = row.flat === 'at or above' ? recorded.value >= row.limit : recorded.value > row.limit
  return [
    {
      name,
      met: truth(flat),
      marked: flat ? 'unknown' : 'no',
      words: say(flat ? 'foot-measure.footprint-flat' : 'foot-measure.footprint-not-flat', {
        index: name === 'staheli-index' ? 'staheli' : 'chippaux',
        value: recorded.value,
        flat: row.flat,
        limit: row.limit,
        fromYears: row.fromYears,
        toYears: row.toYears,
      }),
      sources: [ARCH_INDICES_2018.source],
      evidence: [recorded.evidence],
    },
  ]
}
