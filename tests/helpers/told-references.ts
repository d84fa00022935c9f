import type { Answer, TestService, Who } from './service.ts'

const LITERAL =
  /"reference":\s*"(?:https:\/\/footing-test\.example\/fhir\/)?([A-Z]\w+\/[\w-]+(?:\/_history\/\d+)?)"/g

export interface ToldReferences {
  readonly told: readonly string[]
  /** Those that whoever was told them cannot read. */
  readonly unreadable: readonly string[]
}

/** Every literal reference into the store that answers name. */
export async function toldReferences(
  service: TestService,
  who: Who,
  answers: readonly Answer[],
): Promise<ToldReferences> {
  const told = [
    ...new Set(
      answers.flatMap(({ text }) =>
        [...text.matchAll(LITERAL)].map(([, reference]) => reference ?? ''),
      ),
    ),
  ]
  const unreadable: string[] = []
  for (const reference of told) {
    const { status } = await service.send(who, { url: `/fhir/${reference}` })
    if (status !== 200) unreadable.push(`${reference}: ${status}`)
  }
  return { told, unreadable }
}
