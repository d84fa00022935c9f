import { codesOf } from './codes.ts'
import type {
  Address,
  Condition,
  ContactPoint,
  HumanName,
  QuestionnaireResponseItemAnswer,
  Resource,
} from './r4/types.ts'
import type { RecordEntry } from './record-facts.ts'

export type KnownAnswers = ReadonlyMap<string, readonly QuestionnaireResponseItemAnswer[]>
type Answer = QuestionnaireResponseItemAnswer

const GENDER = codesOf('http://hl7.org/fhir/administrative-gender')
const GENDERS = {
  female: GENDER('female', 'Female'),
  male: GENDER('male', 'Male'),
  other: GENDER('other', 'Other'),
  unknown: GENDER('unknown', 'Unknown'),
} as const

/** What a record says about the child beside its findings, by question. */
export function knownAnswers(
  record: readonly RecordEntry[],
  from: (reference: string, answer: Answer) => Answer,
): KnownAnswers {
  const known = new Map<string, Answer[]>()
  for (const { reference, resource } of record)
    for (const [linkId, answers] of Object.entries(answersIn(resource))) {
      const before = known.get(linkId) ?? []
      known.set(linkId, [...before, ...answers.map((answer) => from(reference, answer))])
    }
  return known
}

function answersIn(resource: Resource): Readonly<Record<string, readonly Answer[]>> {
  const itself = { reference: `${resource.resourceType}/${resource.id ?? ''}` }
  switch (resource.resourceType) {
    case 'Patient': {
      const { name, birthDate, gender, telecom, address, communication } = resource
      return {
        'child-name': words(nameOf(name)).slice(0, 1),
        'child-birth-date':
          birthDate?.length === 'YYYY-MM-DD'.length ? [{ valueDate: birthDate }] : [],
        'child-gender': gender === undefined ? [] : [{ valueCoding: { ...GENDERS[gender] } }],
        'child-contact': words([...telecoms(telecom), ...addresses(address)]),
        language: words(
          (communication ?? []).map(({ language }) => language.text ?? language.coding?.[0]?.code),
        ),
      }
    }
    case 'RelatedPerson':
      return {
        'guardian-name': words(nameOf(resource.name)).slice(0, 1),
        'guardian-contact': words([...telecoms(resource.telecom), ...addresses(resource.address)]),
      }
    case 'Practitioner':
      return { 'sender-name': words(nameOf(resource.name)).slice(0, 1) }
    case 'Consent':
      return resource.status === 'active'
        ? { 'consent-reference': [{ valueReference: itself }] }
        : {}
    case 'Coverage':
      return resource.status === 'active' ? { coverage: [{ valueReference: itself }] } : {}
    case 'Condition':
      return { diagnosis: diagnosis(resource) }
    default:
      return {}
  }
}

const NOT_HELD = ['refuted', 'entered-in-error']

function diagnosis({ code, verificationStatus }: Condition): readonly Answer[] {
  const verified = verificationStatus?.coding?.map((coding) => coding.code ?? '') ?? []
  if (verified.some((one) => NOT_HELD.includes(one))) return []
  const coding = code?.coding?.find((one) => one.system !== undefined && one.code !== undefined)
  return coding === undefined ? words([code?.text]) : [{ valueCoding: coding }]
}

const words = (texts: readonly (string | undefined)[]): Answer[] =>
  texts.flatMap((text) =>
    text === undefined || text.trim() === '' ? [] : [{ valueString: text.trim() }],
  )

const nameOf = (names: readonly HumanName[] = []): (string | undefined)[] =>
  names.map(({ text, given = [], family }) => text ?? [...given, family].filter(Boolean).join(' '))

const telecoms = (points: readonly ContactPoint[] = []): (string | undefined)[] =>
  points.filter(({ use }) => use !== 'old').map(({ value }) => value)

const addresses = (places: readonly Address[] = []): (string | undefined)[] =>
  places
    .filter(({ use }) => use !== 'old')
    .map(
      ({ text, line = [], postalCode, city, state }) =>
        text ?? [...line, postalCode, city, state].filter(Boolean).join(', '),
    )
