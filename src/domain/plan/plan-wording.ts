import { CAUTIONS } from '../cautions.ts'
import type { FootSizing, SizeChart } from '../device/sizing.ts'
import { type Message, say } from '../messages/message.ts'
import type { RuleSet } from '../rules/rule-set.ts'
import { GENERIC_SIZE_CHART } from '../tables/generic-size-chart.ts'

/** What a device is made of, and what is worn under it. */
export const wornMaterials: readonly Message[] = [
  say('plan-material.shell'),
  say('plan-material.sock'),
]

/** What the device is made of and what its state of sizing asks for. */
export function materials({
  state,
  because,
}: Pick<FootSizing, 'state' | 'because'>): readonly Message[] {
  return state === 'sized'
    ? wornMaterials
    : [say(`plan-material.${state}`, { because }), ...wornMaterials]
}

/** Which shoe goes over the device. */
export function shoeAdvice({ fitting }: RuleSet): readonly Message[] {
  const { shoeSizesUp: sizes, heelHeightMaxMm: heel } = fitting
  return [say('plan-shoe.advice', { sizes, heel })]
}

/** When the devices come off and somebody is called, the urgent ones first. */
export function stopRules({ fitting }: RuleSet): readonly Message[] {
  const { rednessStopMinutes: stop, rednessTellMinutes: tell } = fitting
  return [
    say('plan-stop.harm', { stop, tell }),
    say('plan-stop.skill-or-tone'),
    say('plan-stop.outgrown'),
    say('plan-stop.end'),
  ]
}

/** What every plan says about itself. */
export function standingCautions(chart: Pick<SizeChart, 'note'>): readonly Message[] {
  return [
    say('plan-caution.proposal'),
    ...CAUTIONS,
    say('plan-caution.old-foot-sizes'),
    chartCaution(chart),
  ]
}

/** The chart that is built in is translated; what a clinic notes on its own chart is not ours to change. */
const chartCaution = ({ note }: Pick<SizeChart, 'note'>): Message =>
  note === GENERIC_SIZE_CHART.note
    ? say('plan-caution.generic-chart')
    : say('plan-caution.chart', { note })

/** What is known about such devices, without promise. */
export const EVIDENCE: readonly Message[] = [
  say('plan-evidence.walking-children'),
  say('plan-evidence.before-walking'),
  say('plan-evidence.certainty'),
  say('plan-evidence.wear'),
]
