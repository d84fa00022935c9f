import enAdvice from './en/advice.json' with { type: 'json' }
import enAnswer from './en/answer.json' with { type: 'json' }
import enDecision from './en/decision.json' with { type: 'json' }
import enDevelopment from './en/development.json' with { type: 'json' }
import enDevice from './en/device.json' with { type: 'json' }
import enFollowUp from './en/follow-up.json' with { type: 'json' }
import enFoot from './en/foot.json' with { type: 'json' }
import enInformation from './en/information.json' with { type: 'json' }
import enIntake from './en/intake.json' with { type: 'json' }
import enLaw from './en/law.json' with { type: 'json' }
import enPaper from './en/paper.json' with { type: 'json' }
import enPicture from './en/picture.json' with { type: 'json' }
import enPlan from './en/plan.json' with { type: 'json' }
import enReminder from './en/reminder.json' with { type: 'json' }
import enTerms from './en/terms.json' with { type: 'json' }
import enUrgency from './en/urgency.json' with { type: 'json' }
import enVisit from './en/visit.json' with { type: 'json' }
import esAdvice from './es/advice.json' with { type: 'json' }
import esAnswer from './es/answer.json' with { type: 'json' }
import esDecision from './es/decision.json' with { type: 'json' }
import esDevelopment from './es/development.json' with { type: 'json' }
import esDevice from './es/device.json' with { type: 'json' }
import esFollowUp from './es/follow-up.json' with { type: 'json' }
import esFoot from './es/foot.json' with { type: 'json' }
import esInformation from './es/information.json' with { type: 'json' }
import esIntake from './es/intake.json' with { type: 'json' }
import esLaw from './es/law.json' with { type: 'json' }
import esPaper from './es/paper.json' with { type: 'json' }
import esPicture from './es/picture.json' with { type: 'json' }
import esPlan from './es/plan.json' with { type: 'json' }
import esReminder from './es/reminder.json' with { type: 'json' }
import esTerms from './es/terms.json' with { type: 'json' }
import esUrgency from './es/urgency.json' with { type: 'json' }
import esVisit from './es/visit.json' with { type: 'json' }

/** One message in both voices, in ICU message format. A term that both voices share is one text. */
export type Entry = string | { readonly therapist: string; readonly family: string }

/** English is the catalogue that the others translate. */
const EN = {
  ...enAdvice,
  ...enAnswer,
  ...enDecision,
  ...enDevelopment,
  ...enDevice,
  ...enFollowUp,
  ...enFoot,
  ...enInformation,
  ...enIntake,
  ...enLaw,
  ...enPaper,
  ...enPicture,
  ...enPlan,
  ...enReminder,
  ...enTerms,
  ...enUrgency,
  ...enVisit,
} as const satisfies Readonly<Record<string, Entry>>

export type MessageKey = keyof typeof EN
export type Catalogue = Readonly<Record<MessageKey, Entry>>

/** A language that lacks a message does not compile. */
const ES: Catalogue = {
  ...esAdvice,
  ...esAnswer,
  ...esDecision,
  ...esDevelopment,
  ...esDevice,
  ...esFollowUp,
  ...esFoot,
  ...esInformation,
  ...esIntake,
  ...esLaw,
  ...esPaper,
  ...esPicture,
  ...esPlan,
  ...esReminder,
  ...esTerms,
  ...esUrgency,
  ...esVisit,
}

/** BCP 47 tags of the languages that are complete. */
export const LANGUAGES = ['en', 'es'] as const
export type Language = (typeof LANGUAGES)[number]

export const CATALOGUES: Readonly<Record<Language, Catalogue>> = { en: EN, es: ES }
