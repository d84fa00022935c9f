import { day } from '../domain/messages/message.ts'
import type { MessageKey } from '../domain/messages/catalogues.ts'
import type { Person } from '../fhir/people.ts'
import type { Words } from '../pictures/words.ts'
import type { DocumentFacts } from './document-facts.ts'
import { type Section, section, table } from './document.ts'

type Pair = readonly [MessageKey, string | undefined]

/** Who the child is, as recorded; what is not on record is said to be not on record. */
export function childSection({ record, triage }: DocumentFacts, words: Words): Section {
  const { child, guardians, coverages } = record
  return section(
    'child',
    words.say('part.paper-child'),
    pairs(words, [
      ['part.paper-name', child.name],
      ['part.paper-born', words.say('part.day-alone', { on: day(triage.child.birthDate.value) })],
      ['part.paper-identifiers', joined(child.identifiers)],
      ['part.paper-guardian', joined(guardians.flatMap((one) => guardianText(one, words)))],
      ['part.paper-contact', child.contact],
      ['part.paper-address', child.address],
      ['part.paper-coverage', joined(coverages)],
      ['part.paper-member', joined(child.memberNumbers)],
    ]),
  )
}

type Guardian = DocumentFacts['record']['guardians'][number]

export function guardianText({ name, ...guardian }: Guardian, words: Words): string[] {
  if (name === undefined) return []
  const [relationship] = relationshipText(guardian, words)
  return [relationship === undefined ? name : `${name} (${relationship})`]
}

export function relationshipText(
  { relationship }: Pick<Guardian, 'relationship'>,
  words: Words,
): string[] {
  if (relationship === undefined) return []
  return [
    typeof relationship === 'string' ? relationship : words.say('part.paper-kin', relationship),
  ]
}

/** Who asked what, and when. */
export function referralSection({ record }: DocumentFacts, words: Words): Section {
  const { referrer, referredOn, receivedOn, questions } = record
  return section(
    'referral',
    words.say('part.paper-referral'),
    pairs(words, [
      ['part.paper-referred-by', referrer === undefined ? undefined : personText(referrer)],
      ['part.paper-practice', referrer?.organization],
      [
        'part.paper-referred-on',
        referredOn === undefined ? undefined : words.say('part.day-alone', { on: day(referredOn) }),
      ],
      ['part.paper-received-on', words.say('part.day-alone', { on: day(receivedOn) })],
      ['part.paper-question', joined(questions)],
    ]),
  )
}

/** A name with what is recorded of the qualification; the NPI where there is no name. */
export function personText({
  name,
  npi,
  qualifications,
  organization,
}: Person): string | undefined {
  const called = name ?? (npi === undefined ? organization : `NPI ${npi}`)
  return called === undefined || qualifications.length === 0
    ? called
    : `${called} (${qualifications.join(', ')})`
}

export const joined = (texts: readonly string[]): string | undefined =>
  texts.length === 0 ? undefined : texts.join('; ')

export const pairs = (words: Words, some: readonly Pair[]) =>
  table(
    [],
    some.map(([name, text]) => [words.say(name), text ?? words.say('part.paper-not-on-record')]),
  )
