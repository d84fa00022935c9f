import type { DescribedSkill, Dimension, Milestone, RedFlagSign, Sign } from '../domain/child.ts'
import type { SizeSign, StopSign } from '../domain/follow-up/worn-device.ts'
import { type Code, codesOf, SYSTEMS } from './codes.ts'

const observation = codesOf(SYSTEMS.observation)

export const MILESTONE_CODES: Readonly<Record<Milestone, Code>> = {
  'sitting-without-support': observation('sitting-without-support', 'Sits without support'),
  'standing-with-assistance': observation('standing-with-assistance', 'Stands with assistance'),
  'hands-and-knees-crawling': observation('hands-and-knees-crawling', 'Crawls on hands and knees'),
  'walking-with-assistance': observation('walking-with-assistance', 'Walks with assistance'),
  'standing-alone': observation('standing-alone', 'Stands alone'),
  'walking-alone': observation('walking-alone', 'Walks alone'),
}

export const SKILL_CODES: Readonly<Record<DescribedSkill, Code>> = {
  rolling: observation('rolling', 'Rolls over'),
  'pulling-to-stand': observation('pulling-to-stand', 'Pulls to stand'),
  cruising: observation('cruising', 'Cruises along furniture'),
  'creeping-upstairs': observation('creeping-upstairs', 'Creeps up stairs'),
  running: observation('running', 'Runs'),
  'jumping-with-both-feet': observation('jumping-with-both-feet', 'Jumps with both feet'),
  'heel-contact-first': observation('heel-contact-first', 'Heel contacts first in walking'),
  'push-off-in-walking': observation('push-off-in-walking', 'Pushes off in walking'),
}

export const SIGN_CODES: Readonly<Record<Sign, Code>> = {
  'habitual-w-sitting': observation('habitual-w-sitting', 'Habitually sits in W'),
  'rises-onto-toes-for-stability': observation(
    'rises-onto-toes-for-stability',
    'Rises onto toes to gain stability',
  ),
  'forward-lean-with-knees-rolling-in': observation(
    'forward-lean-with-knees-rolling-in',
    'Leans forward with knees rolling in',
  ),
  'wide-guarded-gait': observation('wide-guarded-gait', 'Wide, guarded gait'),
  'heel-contact-seen': observation('heel-contact-seen', 'Heel contact seen in walking'),
  'falls-beyond-practice': observation(
    'falls-beyond-practice',
    'Falls more than the months since walking explain',
  ),
  'refuses-to-stand': observation('refuses-to-stand', 'Refuses to stand'),
  'generalised-laxity': observation('generalised-laxity', 'Generalised joint laxity'),
  'motor-concern': observation('motor-concern', 'Concern about motor development'),
}

export const RED_FLAG_CODES: Readonly<Record<RedFlagSign, Code>> = {
  'loss-of-skills': observation('loss-of-skills', 'Loss of skills'),
  'one-sided-weakness': observation('one-sided-weakness', 'One-sided weakness'),
  'hand-preference': observation('hand-preference', 'Hand preference'),
  'pain-or-swelling': observation('pain-or-swelling', 'Pain or swelling of foot or leg'),
  'gowers-sign': observation('gowers-sign', 'Gowers sign'),
  'absent-reflexes': observation('absent-reflexes', 'Absent tendon reflexes'),
  'marked-weakness': observation('marked-weakness', 'Marked weakness'),
  'rising-tone-or-clonus': observation('rising-tone-or-clonus', 'Rising tone or clonus'),
  'fever-or-new-limp': observation('fever-or-new-limp', 'Fever or new limp'),
}

export const DIMENSION_CODES: Readonly<Record<Dimension, Code>> = {
  'foot-length': observation('foot-length', 'Foot length'),
  'forefoot-breadth': observation('forefoot-breadth', 'Forefoot breadth'),
  'heel-to-first-metatarsal-head': observation(
    'heel-to-first-metatarsal-head',
    'Heel to first metatarsal head',
  ),
  'heel-to-fifth-toe-sulcus': observation('heel-to-fifth-toe-sulcus', 'Heel to fifth-toe sulcus'),
  'malleolar-breadth': observation('malleolar-breadth', 'Malleolar breadth'),
  'ankle-circumference': observation('ankle-circumference', 'Ankle circumference'),
  'instep-girth': observation('instep-girth', 'Instep girth'),
}

/** What else is observed of a foot. */
export const FOOT_CODES = {
  fpi: observation('foot-posture-index', 'Foot Posture Index, six items'),
  heelEversion: observation('resting-heel-eversion', 'Resting heel eversion'),
  navicularDrop: observation('navicular-drop', 'Navicular drop'),
  staheliIndex: observation('staheli-arch-index', 'Arch index of Staheli'),
  chippauxSmirakPercent: observation('chippaux-smirak-index', 'Chippaux-Smirak index'),
  archSeenUnloaded: observation('arch-seen-unloaded', 'Arch seen with the foot unloaded'),
  tiptoeArchAndHeelInversion: observation(
    'tiptoe-arch-and-heel-inversion',
    'Arch forms and heel inverts on tiptoe',
  ),
  greatToeExtensionRaisesArch: observation(
    'great-toe-extension-raises-arch',
    'Great-toe extension raises the arch',
  ),
  ankleDorsiflexion: observation(
    'ankle-dorsiflexion-knee-straight',
    'Passive ankle dorsiflexion, knee straight',
  ),
  ankleDorsiflexionKneeBent: observation(
    'ankle-dorsiflexion-knee-bent',
    'Passive ankle dorsiflexion, knee bent',
  ),
  openSkin: observation('open-skin', 'Open skin on the foot'),
  insensate: observation('insensate-foot', 'Foot without protective sensation'),
  ashworthCalf: observation('modified-ashworth-calf', 'Modified Ashworth Scale, calf'),
  rockerBottomOrStiffHindfoot: observation(
    'stiff-hindfoot',
    'Rocker-bottom sole or stiff hindfoot',
  ),
  kneeAngle: observation('knee-angle', 'Knee angle, valgus positive'),
} as const

/** Items of the Foot Posture Index, components of one observation per foot. */
export const FPI_ITEM_CODES = {
  1: observation('fpi-item-1', 'Talar head palpation'),
  2: observation('fpi-item-2', 'Curves above and below the outer ankle bone'),
  3: observation('fpi-item-3', 'Heel seen from behind'),
  4: observation('fpi-item-4', 'Skin over the talonavicular joint'),
  5: observation('fpi-item-5', 'Inner arch'),
  6: observation('fpi-item-6', 'Toes seen from behind'),
} as const

/** What else is observed of the child. */
export const CHILD_CODES = {
  tone: observation('muscle-tone', 'Muscle tone'),
  beighton: observation('beighton-score', 'Beighton score'),
  medicalReview: observation('medical-review-of-late-walking', 'Medical review of late walking'),
  shoeSize: observation('shoe-size', 'Shoe size'),
  shoeSystem: observation('shoe-size-system', 'System of the shoe size'),
  standardised: observation(
    'standardised-gross-motor-result',
    'Result of a standardised gross motor test',
  ),
  attainedOn: observation('attained-on', 'First seen on'),
} as const

/** Parts of a standardised result. */
export const RESULT_CODES = {
  percentDelay: observation('percent-delay', 'Delay in percent'),
  zScore: observation('z-score', 'z-score'),
  standardScore: observation('standard-score', 'Standard score'),
  testMean: observation('standard-score-mean', 'Mean of the standard score'),
  testSd: observation('standard-score-sd', 'Standard deviation of the standard score'),
} as const

/** What is looked for on a foot that wears a device. */
export const WORN_SIGN_CODES: Readonly<Record<StopSign | SizeSign, Code>> = {
  swelling: observation('worn-swelling', 'Swelling where the device is worn'),
  pain: observation('worn-pain', 'Pain where the device is worn'),
  rash: observation('worn-rash', 'Rash where the device is worn'),
  blister: observation('worn-blister', 'Blister where the device is worn'),
  'broken-skin': observation('worn-broken-skin', 'Broken skin where the device is worn'),
  'broken-device': observation('worn-broken-device', 'Device cracked or broken'),
  'toes-at-front-edge': observation('worn-toes-at-front-edge', 'Toes reach the front edge'),
  'marks-in-new-place': observation('worn-marks-in-new-place', 'Skin marks in a new place'),
}

/** How long the devices are worn. */
export const WEAR_CODE = observation('wear-minutes-a-day', 'Time the devices are worn a day')
