import { RED_FLAG_SIGNS, SIGNS } from '../child.ts'
import { type Message, say } from '../messages/message.ts'

/** Facts with a term of their own, by their names in the child and in a foot. */
const NAMED = [
  'gestationDays',
  'standardised',
  'tone',
  'beighton',
  'medicalReview',
  'shoeSize',
  'fpi',
  'heelEversion',
  'navicularDrop',
  'staheliIndex',
  'chippauxSmirakPercent',
  'archSeenUnloaded',
  'tiptoeArchAndHeelInversion',
  'greatToeExtensionRaisesArch',
  'ankleDorsiflexion',
  'ankleDorsiflexionKneeBent',
  'openSkin',
  'insensate',
  'ashworthCalf',
  'rockerBottomOrStiffHindfoot',
  'kneeAngle',
] as const

const TERMS: ReadonlyMap<string, Message> = new Map<string, Message>([
  ...[...NAMED, ...RED_FLAG_SIGNS].map((name): [string, Message] => [name, say(`fact.${name}`)]),
  ...SIGNS.map((sign): [string, Message] => [sign, say(`sign.${sign}`)]),
])

/** How is a fact called within a sentence? By its name, without the side; one that has no term is "an entry". */
export const factTerm = (name: string): Message => TERMS.get(name) ?? say('fact.other')
