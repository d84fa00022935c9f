import type { BirthDate, Traits } from '../domain/identity/traits.ts'
import type { ContactPoint, Patient } from './r4/types.ts'
import { folded } from './search-text.ts'

/** Names that stand in for one that is not known yet. */
const NO_NAMES = new Set(['temp', 'anonymous'])

/** What a Patient says that tells the child from others. */
export function patientTraits(patient: Patient): Traits {
  const names = (patient.name ?? []).filter(({ use }) => !NO_NAMES.has(use ?? ''))
  const { gender, birthDate, multipleBirthInteger } = patient
  return {
    identifiers: (patient.identifier ?? []).flatMap(({ system, value }) =>
      system === undefined || value === undefined ? [] : [{ system, value }],
    ),
    given: distinct(names.map(({ given }) => letters(given?.find((one) => one !== null) ?? ''))),
    family: distinct(names.map(({ family }) => letters(family))),
    birthDate: birthDate === undefined ? undefined : birthDateOf(birthDate),
    sex: gender === 'unknown' ? undefined : gender,
    postalCodes: distinct((patient.address ?? []).map(({ postalCode }) => postal(postalCode))),
    telecoms: distinct((patient.telecom ?? []).map(contact)),
    birthOrder: multipleBirthInteger,
  }
}

const distinct = (texts: readonly string[]): string[] => [
  ...new Set(texts.filter((text) => text !== '')),
]

/** Without what is written between the parts of a name in one place and not in another. */
const letters = (text = ''): string => folded(text).replaceAll(/[^\p{L}\p{N}]/gu, '')

const ZIP = 5
const ZIP_PLUS_4 = /^\d{9}$/

/** Of nine digits, a ZIP+4, the first five. */
function postal(text = ''): string {
  const code = letters(text)
  return ZIP_PLUS_4.test(code) ? code.slice(0, ZIP) : code
}

/** Enough for the number without the code of its country, which some write and some do not. */
const NATIONAL_DIGITS = 10
/** What is shorter, an extension, is many people's. */
const LEAST_DIGITS = 7

function contact({ system, value = '' }: ContactPoint): string {
  if (system === 'email') return value.trim().toLowerCase()
  if (system === 'url' || system === 'other') return ''
  const digits = value.replaceAll(/\D/g, '')
  return digits.length < LEAST_DIGITS ? '' : digits.slice(-NATIONAL_DIGITS)
}

function birthDateOf(text: string): BirthDate {
  const [year, month, day] = text.split('-').map(Number)
  return {
    year: year ?? 0,
    ...(month === undefined ? {} : { month }),
    ...(day === undefined ? {} : { day }),
  }
}
