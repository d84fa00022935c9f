import {
  boolean,
  constantFrom,
  integer,
  record,
  tuple,
  uniqueArray,
  type Arbitrary,
} from 'fast-check'
import { degrees } from '../../src/domain/units.ts'
import { child, fact, foot } from './child.ts'
import { type assess, fpiOf, milestonesWith, noTempo } from './findings.ts'

const score = constantFrom(1, 2, 2, 1, 0)
const seen = boolean().map((value) => fact(value))
const anyFoot = record({
  fpi: tuple(score, score, score, score, score, score).map((scores) => fact(fpiOf(scores))),
  tiptoeArchAndHeelInversion: seen,
  greatToeExtensionRaisesArch: seen,
  archSeenUnloaded: seen,
  ankleDorsiflexion: integer({ min: -1, max: 12 }).map((value) => fact(degrees(value))),
  openSkin: constantFrom(...Array<boolean>(9).fill(false), true).map((value) => fact(value)),
  insensate: constantFrom(...Array<boolean>(9).fill(false), true).map((value) => fact(value)),
  ashworthCalf: constantFrom('0' as const, '1' as const).map((value) => fact(value)),
})
const anySigns = record({
  'habitual-w-sitting': seen,
  'rises-onto-toes-for-stability': seen,
  'forward-lean-with-knees-rolling-in': seen,
  'generalised-laxity': seen,
  'motor-concern': seen,
})
/** A child of whom everything that decides is known; it does not walk, so gait signs never count. */
export const anyWhole = record({
  left: anyFoot,
  right: anyFoot,
  signs: anySigns,
  tone: constantFrom('low' as const, 'low' as const, 'normal' as const),
  raised: constantFrom(...Array<boolean>(9).fill(false), true),
  z: constantFrom(-3, -1.5, -1, 0),
  bears: constantFrom('yes' as const, 'yes' as const, 'yes' as const, 'no' as const),
})
export type Whole = typeof anyWhole extends Arbitrary<infer T> ? T : never

export const FACT_NAMES = [
  'tone',
  'standardised',
  'milestoneChecks.standing-with-assistance',
  ...[
    'habitual-w-sitting',
    'rises-onto-toes-for-stability',
    'forward-lean-with-knees-rolling-in',
    'generalised-laxity',
    'motor-concern',
  ].map((sign) => `signs.${sign}`),
  ...['left', 'right'].flatMap((side) =>
    [
      'fpi',
      'tiptoeArchAndHeelInversion',
      'greatToeExtensionRaisesArch',
      'archSeenUnloaded',
      'ankleDorsiflexion',
      'openSkin',
      'insensate',
      'ashworthCalf',
    ].map((name) => `${name}.${side}`),
  ),
]
export const anyHidden = uniqueArray(constantFrom(...FACT_NAMES), { maxLength: 8 })
/** So few that the outcome is often known without them. */
export const fewHidden = uniqueArray(constantFrom(...FACT_NAMES), { maxLength: 2 })

/** The record of the child with these facts taken out. */
export function partly(whole: Whole, hidden: readonly string[]): Parameters<typeof assess> {
  const shown = <T>(name: string, value: T) => (hidden.includes(name) ? 'unknown' : value)
  const footOf = (side: 'left' | 'right') => {
    const known = whole[side]
    return foot({
      fpi: shown(`fpi.${side}`, known.fpi),
      tiptoeArchAndHeelInversion: shown(
        `tiptoeArchAndHeelInversion.${side}`,
        known.tiptoeArchAndHeelInversion,
      ),
      greatToeExtensionRaisesArch: shown(
        `greatToeExtensionRaisesArch.${side}`,
        known.greatToeExtensionRaisesArch,
      ),
      archSeenUnloaded: shown(`archSeenUnloaded.${side}`, known.archSeenUnloaded),
      ankleDorsiflexion: shown(`ankleDorsiflexion.${side}`, known.ankleDorsiflexion),
      openSkin: shown(`openSkin.${side}`, known.openSkin),
      insensate: shown(`insensate.${side}`, known.insensate),
      // Tone that was observed low or normal goes with calves that are not raised.
      ashworthCalf: shown(`ashworthCalf.${side}`, whole.raised ? fact('2') : known.ashworthCalf),
    })
  }
  const signs = whole.signs
  const of = child({
    tone: shown('tone', fact(whole.raised ? 'raised' : whole.tone)),
    standardised: shown('standardised', fact({ kind: 'z-score', z: whole.z })),
    signs: {
      ...child().signs,
      'habitual-w-sitting': shown('signs.habitual-w-sitting', signs['habitual-w-sitting']),
      'rises-onto-toes-for-stability': shown(
        'signs.rises-onto-toes-for-stability',
        signs['rises-onto-toes-for-stability'],
      ),
      'forward-lean-with-knees-rolling-in': shown(
        'signs.forward-lean-with-knees-rolling-in',
        signs['forward-lean-with-knees-rolling-in'],
      ),
      'generalised-laxity': shown('signs.generalised-laxity', signs['generalised-laxity']),
      'motor-concern': shown('signs.motor-concern', signs['motor-concern']),
    },
    feet: { left: footOf('left'), right: footOf('right') },
  })
  const bearsWeight = shown('milestoneChecks.standing-with-assistance', whole.bears)
  const milestones = milestonesWith({ bearsWeight, walksAlone: 'no' })
  return [of, { milestones, tempo: noTempo('no-observations') }]
}
