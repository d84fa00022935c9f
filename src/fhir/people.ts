import { ownTarget } from './literal-reference.ts'
import type {
  Address,
  CodeableConcept,
  ContactPoint,
  HumanName,
  Practitioner,
  Reference,
  Resource,
} from './r4/types.ts'

/** National Provider Identifier, United States. */
export const NPI_SYSTEM = 'http://hl7.org/fhir/sid/us-npi'

/** Somebody as the record names them; what it does not say is left out, never guessed. */
export interface Person {
  readonly name?: string
  readonly npi?: string
  /** As recorded: codes where there are some, else the words. */
  readonly qualifications: readonly string[]
  readonly organization?: string
}

/** Looks up what a reference of ours names, `Type/id`. */
export type Find = (place: string) => Resource | undefined

/** The places that lead from a reference to a person and to where they work. */
export function placeOf(reference: Reference | undefined, baseUrl: string): string | undefined {
  const target = ownTarget(reference?.reference, baseUrl)
  return target === undefined ? undefined : `${target.type}/${target.id}`
}

export const textOf = (concept: CodeableConcept | undefined): string | undefined =>
  [concept?.text, ...(concept?.coding ?? []).flatMap(({ display, code }) => display ?? code)].find(
    (text) => text !== undefined && text !== '',
  )

export function nameOf(names: readonly HumanName[] | undefined): string | undefined {
  const name = names?.find(({ use }) => use === 'official') ?? names?.[0]
  if (name === undefined) return undefined
  const parts = [...(name.prefix ?? []), ...(name.given ?? []), name.family ?? '']
  const text = name.text ?? parts.filter((part) => part !== '').join(' ')
  return text === '' ? undefined : text
}

export const contactOf = (points: readonly ContactPoint[] | undefined): string | undefined =>
  points?.find(({ system }) => system === 'phone' || system === 'email')?.value

export function addressOf(addresses: readonly Address[] | undefined): string | undefined {
  const [first] = addresses ?? []
  if (first === undefined) return undefined
  const { text, line = [], city, state, postalCode } = first
  const parts = [...line, city, state, postalCode].filter((part) => part !== undefined)
  return text ?? (parts.length === 0 ? undefined : parts.join(', '))
}

/** Whom a reference names: a Practitioner, a role of one, or an organisation. */
export function personOf(
  reference: Reference | undefined,
  find: Find,
  baseUrl: string,
): Person | undefined {
  const resource = found(reference, find, baseUrl)
  const display = reference?.display === undefined ? {} : { name: reference.display }
  switch (resource?.resourceType) {
    case 'Practitioner':
      return { ...display, ...practitioner(resource) }
    case 'PractitionerRole': {
      const own = found(resource.practitioner, find, baseUrl)
      const organization = found(resource.organization, find, baseUrl)
      const roles = (resource.code ?? []).flatMap((code) => textOf(code) ?? [])
      const known = own?.resourceType === 'Practitioner' ? practitioner(own) : undefined
      return {
        ...display,
        ...known,
        qualifications: [...(known?.qualifications ?? []), ...roles],
        ...(organization?.resourceType === 'Organization' && organization.name !== undefined
          ? { organization: organization.name }
          : {}),
      }
    }
    case 'Organization':
      return {
        qualifications: [],
        ...(resource.name === undefined ? {} : { organization: resource.name }),
      }
    default:
      return reference?.display === undefined ? undefined : { ...display, qualifications: [] }
  }
}

function found(reference: Reference | undefined, find: Find, baseUrl: string) {
  const place = placeOf(reference, baseUrl)
  return place === undefined ? undefined : find(place)
}

function practitioner({ name, identifier, qualification }: Practitioner): Person {
  const called = nameOf(name)
  const npi = identifier?.find(({ system }) => system === NPI_SYSTEM)?.value
  return {
    ...(called === undefined ? {} : { name: called }),
    ...(npi === undefined ? {} : { npi }),
    qualifications: (qualification ?? []).flatMap(
      ({ code }) => code.coding?.[0]?.code ?? textOf(code) ?? [],
    ),
  }
}
