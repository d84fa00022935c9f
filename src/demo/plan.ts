import { z } from 'zod'
import { resourcesOf } from './answers.ts'
import { type Heading, sentence, wrapped } from './page.ts'

const Noted = z.array(z.object({ text: z.string() }))
const CarePlan = z.object({
  title: z.string(),
  created: z.string(),
  activity: z.array(z.object({ detail: z.object({ description: z.string() }).optional() })),
})
const Goal = z.object({
  description: z.object({ text: z.string() }),
  target: z.array(z.object({ dueDate: z.string() })).min(1),
})
const Visit = z.object({ occurrenceDateTime: z.string(), note: Noted })

const INDENT = 14

/** The proposed fitting plan, from the Bundle of `$fitting-plan`. */
export function planSummary(bundle: unknown, heading: Heading): string[] {
  const [plan] = resourcesOf(bundle, 'CarePlan').map((one) => CarePlan.parse(one))
  const goals = resourcesOf(bundle, 'Goal').map((one) => Goal.parse(one))
  const visits = resourcesOf(bundle, 'ServiceRequest').map((one) => Visit.parse(one))
  const wear = plan?.activity.flatMap(({ detail }) => detail?.description ?? [])[0]
  const dated = (date: string | undefined, text: string | undefined) =>
    wrapped(text ?? '', { indent: INDENT, label: `  ${date ?? ''}` })
  return [
    heading(`${plan?.title ?? 'No plan'}: proposed on ${plan?.created ?? 'no day'}`),
    ...(wear === undefined ? [] : wrapped(sentence(wear))),
    '  Goals',
    ...goals.flatMap(({ description, target }) => dated(target[0]?.dueDate, description.text)),
    '  Visits',
    ...visits.flatMap(({ occurrenceDateTime, note }) => dated(occurrenceDateTime, note[0]?.text)),
  ]
}
