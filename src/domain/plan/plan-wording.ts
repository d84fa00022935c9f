import { CAUTIONS } from '../cautions.ts'
import type { Wording } from './fitting.ts'
import type { RuleSet } from '../rules/rule-set.ts'
import type { FootSizing } from '../device/sizing.ts'

/** What the device is made of and what its state of sizing asks for. */
export function materials({ state, because }: FootSizing): readonly Wording[] {
  const shell: Wording = {
    therapist:
      'Thin, flexible shell in close, even contact around heel and midfoot, ending just above the ankle bones; up and down movement of the ankle stays free.',
    family:
      'A thin, bendy shell that hugs the heel and the middle of the foot. The ankle can still move up and down.',
  }
  const sock: Wording = {
    therapist: 'Close-fitting cotton sock, long enough to cover all contact, without creases.',
    family: 'Always wear it over a close cotton sock that is long enough and has no creases.',
  }
  if (state === 'sized') return [shell, sock]
  const open: Wording =
    state === 'custom'
      ? {
          therapist: `Made to measure: ${because}.`,
          family: 'No ready size fits this foot well, so this one would be made to measure.',
        }
      : {
          therapist: `No size yet: ${because}.`,
          family: 'We need to measure this foot before we can choose a size.',
        }
  return [open, shell, sock]
}

/** Which shoe goes over the device. */
export function shoeAdvice(rules: RuleSet): readonly Wording[] {
  const { shoeSizesUp, heelHeightMaxMm } = rules.fitting
  const sizes = shoeSizesUp === 1 ? 'one size' : `${shoeSizesUp} sizes`
  return [
    {
      therapist: `Firm heel counter, wide sole, opens low with laces or hook-and-loop, deep, removable insole; usually ${sizes} up; heel at most ${heelHeightMaxMm} mm.`,
      family: `Look for a shoe that is firm around the heel, opens wide and low, and has an insole you can take out. It usually needs to be ${sizes} larger, with a flat heel (no more than ${heelHeightMaxMm} mm). Take the support along when you buy shoes.`,
    },
  ]
}

/** When the devices come off and somebody is called, the urgent ones first. */
export function stopRules(rules: RuleSet): readonly Wording[] {
  const { rednessStopMinutes, rednessTellMinutes } = rules.fitting
  return [
    {
      therapist: `Stop and call: redness longer than ${rednessStopMinutes} minutes, swelling, pain, rash, blister, broken skin, or a broken device. Over ${rednessTellMinutes} minutes: tell the clinic.`,
      family: `Take them off and call us if redness stays longer than ${rednessStopMinutes} minutes, or if you see swelling, pain, a rash, a blister, broken skin or a crack in the support. If redness stays longer than ${rednessTellMinutes} minutes, please tell us.`,
    },
    {
      therapist:
        'Stop and review: a skill is lost or done less with the devices on, or tone changes.',
      family:
        'Leave them off and let us know if your child does less with them on, or if the legs feel stiffer or floppier than before.',
    },
    {
      therapist:
        'Review the size: toes reach the front edge, or marks or discomfort in a new place.',
      family:
        'Let us know when the toes reach the front edge or marks appear in a new place: your child may have grown out of them.',
    },
    {
      therapist:
        'End: goal met, no gain with the device over barefoot on re-test, or the family wishes so. Support that is no longer needed is removed.',
      family:
        'When they are no longer needed or do not help, we stop. You can tell us at any time that you would like to stop.',
    },
  ]
}

/** What every plan says about itself. */
export function standingCautions(chartNote: string): readonly Wording[] {
  return [
    {
      therapist: 'A proposal for the orthotist to approve.',
      family: 'Nothing is decided yet: your orthotist looks at this plan first.',
    },
    ...CAUTIONS,
    {
      therapist: 'Foot sizes are from a sample in the USA of 1975-77 with small infant groups.',
      family: 'Feet differ. We measure your child instead of trusting a table.',
    },
    {
      therapist: `Size chart: ${chartNote}`,
      family: 'The size on paper is a starting point. What counts is how it fits on the foot.',
    },
  ]
}

/** What is known about such devices, without promise. */
export const EVIDENCE: readonly string[] = [
  'Walking children with Down syndrome (n 17, 3.5-8 years) stood, walked, ran and jumped better with flexible supramalleolar orthoses at fitting and after 7 weeks (Martin 2004).',
  'The only randomised trial before walking (n 17 infants with Down syndrome) found lower gross motor scores one month after walking onset with orthoses (Looper and Ulrich 2010).',
  'Reviews judge the certainty of the evidence low or very low and the advice conditional (Disabilities 2025;5:14; Cochrane CD006311, 2022, on foot orthoses for flexible flat feet).',
  'Wear schedules are taken from leaflets for other orthoses; closure gap, wear time and review intervals are common practice or judgement.',
]
