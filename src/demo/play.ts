import { civilDate, daysBetween } from '../domain/calendar.ts'
import { type Kept, keptOf, readChild } from './answers.ts'
import { type FhirClient, fhirClient } from './client.ts'
import { shiftDates } from './dates.ts'
import { outcomeInShort } from './outcome.ts'
import { type Heading, sentence, wrapped } from './page.ts'
import { planSummary } from './plan.ts'
import { readScenario, type SeedChild } from './scenario.ts'
import type { Stage } from './stage.ts'
import { childSummary } from './summary.ts'

interface Page {
  readonly print: (lines: readonly string[]) => void
  readonly heading: Heading
}

/** Sends every referral of the seeds as a partner would and prints what comes back; answers the first. */
export async function play(stage: Stage, today: Date, { print, heading }: Page): Promise<Kept> {
  const client = fhirClient(`${stage.origin}/fhir`, stage.token)
  const { referenceDay, children } = readScenario()
  const days = daysBetween(referenceDay, civilDate(today.toISOString().slice(0, 10)))
  const [first, ...others] = children
  if (first === undefined) throw new Error('There is no seed.')

  print([
    heading('Footing: a referral on its way to a fitting plan'),
    ...wrapped(
      'Every person and every organisation is invented. What follows was sent and read back over HTTP.',
    ),
    '',
  ])
  const kept = await refer(client, first, days)
  const again = await refer(client, first, days)
  const read = await readChild(client, kept)
  const plan = await client.get(`/ServiceRequest/${kept.referralId}/$fitting-plan`)
  print([
    ...wrapped(sentence(first.title)),
    ...wrapped(
      `The referral: ${kept.created} resources stored; sent a second time, ${again.repeated ? 'the same answer and nothing stored twice' : 'it was taken again'}.`,
    ),
    '',
    ...childSummary(read, heading),
    '',
    ...planSummary(plan, heading),
    '',
    heading('Five more referrals of the same morning'),
  ])
  for (const child of others) {
    const found = await readChild(client, await refer(client, child, days))
    print(['', ...outcomeInShort(found, heading)])
  }
  print([
    '',
    heading('Cautions'),
    ...(read.risk?.note ?? []).flatMap(({ text }) => wrapped(sentence(text))),
  ])
  return kept
}

async function refer({ post }: FhirClient, { file, bundle }: SeedChild, days: number) {
  const { body, headers } = await post('', shiftDates(bundle, days), {
    'idempotency-key': `demo-${file}`,
  })
  return { ...keptOf(body), repeated: headers.get('idempotent-replayed') === 'true' }
}
