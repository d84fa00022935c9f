import { z } from 'zod'
import { type Answer, issues } from './service.ts'

const Signed = z.object({
  resourceType: z.literal('Parameters'),
  parameter: z.array(
    z.object({ name: z.string(), resource: z.record(z.string(), z.unknown()).optional() }),
  ),
})

const partOf = ({ json }: Answer, name: string) =>
  Signed.parse(json).parameter.find((one) => one.name === name)?.resource

/** The answer of a sign-off as that of the document that it keeps; a refusal stays as it is. */
export function documentIn(answer: Answer): Answer {
  if (answer.status !== 200) return answer
  const json = partOf(answer, 'return')
  return { ...answer, json, text: JSON.stringify(json) }
}

/** What a sign-off says of the referral that it does not complete; empty where it says nothing. */
export function warningsIn(answer: Answer): ReturnType<typeof issues> {
  const json = partOf(answer, 'outcome')
  return json === undefined ? [] : issues({ ...answer, json })
}
