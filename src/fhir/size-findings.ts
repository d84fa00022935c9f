import type { Side } from '../domain/child.ts'
import type { SizeSuccession } from '../domain/device/size-succession.ts'
import type { FootSizing } from '../domain/device/sizing.ts'
import { type Message, say } from '../domain/messages/message.ts'
import type { ExplainedTriage } from '../domain/triage.ts'
import {
  concept,
  type DerivedContext,
  explained,
  findingObservation,
  notApplicable,
  quantity,
  unknownReason,
} from './derived.ts'
import { FINDING_CODES } from './finding-codes.ts'
import type { ObservationComponent } from './r4/types.ts'

/** The nearest other sizes are worth a sentence; the rest of the chart is not. */
const SHOWN_ALTERNATIVES = 3

/** Size, trims, closure, refit date and the sizes to come of one foot. */
export function sizeFinding(
  { asOf, sizing, sizesToCome }: ExplainedTriage,
  side: Side,
  context: DerivedContext,
) {
  const foot = sizing[side]
  const value =
    foot.size === undefined
      ? { dataAbsentReason: unknownReason }
      : { valueString: `${foot.size.code} (${sizing.chart.id} ${sizing.chart.version})` }
  return findingObservation(context, {
    role: `device-size.${foot.side}`,
    code: FINDING_CODES.deviceSize,
    asOf,
    side: foot.side,
    because: [
      foot.because,
      ...foot.warnings.map((warning) => warning.because),
      ...foot.alternatives
        .slice(0, SHOWN_ALTERNATIVES)
        .map(({ code, because }) => say('answer.size-not-chosen', { code, because })),
    ],
    evidence: foot.evidence,
    ...value,
    components: [
      ...millimetreComponents(foot, context),
      ...refitComponents(foot, context),
      ...sizesToComeComponents(sizesToCome[side], context),
    ],
  })
}

function millimetreComponents(foot: FootSizing, context: DerivedContext): ObservationComponent[] {
  if (foot.size === undefined) return []
  const millimetres = (
    code: typeof FINDING_CODES.closureGap,
    mm: number | 'unknown',
    because?: Message,
  ) => {
    const measured = (text?: string) => ({
      code: concept(code, text),
      ...(mm === 'unknown'
        ? { dataAbsentReason: unknownReason }
        : { valueQuantity: quantity(mm, 'millimetres') }),
    })
    return because === undefined ? measured() : explained(context, because, measured)
  }
  return [
    ...foot.trims.map((trim) =>
      millimetres(
        trim.edge === 'medial' ? FINDING_CODES.trimMedial : FINDING_CODES.trimLateral,
        trim.mm,
        trim.because,
      ),
    ),
    millimetres(FINDING_CODES.closureGap, foot.closureGapMm, foot.closure),
  ]
}

/** Without a date by the usual growth the sentence says so, and from when a fast one would need it. */
function refitComponents({ refit }: FootSizing, context: DerivedContext): ObservationComponent[] {
  if (refit === undefined) return []
  const { median, earliest, latest, because } = refit
  return [
    explained(context, because, (text) => ({
      code: concept(FINDING_CODES.refitDate, text),
      ...(median === undefined ? { dataAbsentReason: notApplicable } : { valueDateTime: median }),
    })),
    ...(earliest === undefined
      ? []
      : [
          {
            code: concept(FINDING_CODES.refitRange),
            valuePeriod: { start: earliest, ...(latest === undefined ? {} : { end: latest }) },
          },
        ]),
  ]
}

function sizesToComeComponents(
  found: SizeSuccession | 'unknown',
  context: DerivedContext,
): ObservationComponent[] {
  if (found === 'unknown') return []
  return [
    explained(context, found.because, (text) => ({
      code: concept(FINDING_CODES.sizesToComeUntil, text),
      valueInteger: found.sizes.length,
    })),
  ]
}
