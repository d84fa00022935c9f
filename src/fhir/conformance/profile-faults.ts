import type { Fault } from '../../errors.ts'
import { CANONICAL } from '../codes.ts'
import { isObject } from '../element.ts'
import type { AnyResource } from '../r4/types.ts'
import type { Profile, ProfileElement } from './profile.ts'
import { PROFILES } from './structure-definitions.ts'
import { valueSets } from './value-sets.ts'

/** A profile of ours, by its canonical with or without a version. */
export function profileOf(canonical: string | undefined): Profile | undefined {
  const url = canonical?.split('|')[0]
  return PROFILES.find(({ id }) => `${CANONICAL}/StructureDefinition/${id}` === url)
}

/**
 * What keeps a resource from being one of this profile. What makes a resource a fact or a referral is its
 * code, so that without it no rule of ours says anything: whoever names the profile is told.
 *
 * @param resource valid R4, of the type of the profile
 * @param at       where it is, for instance `Bundle.entry[3].resource`
 */
export const faultsByProfile = (
  { type, elements }: Profile,
  resource: AnyResource,
  at: string = type,
): Fault[] =>
  elements.flatMap((element): Fault[] => {
    const found = valuesAt(resource, element)
    const code = faultCode(element, found)
    if (code === undefined) return []
    const { path, short, rule = 'profile' } = element
    // A choice has no brackets in an expression.
    const expression = `${at}.${path.replace('[x]', '')}`
    return [{ severity: 'error', code, expression, rule, text: `${short}.` }]
  })

function faultCode(
  { min = 0, max, fixedCode, pattern, binding }: ProfileElement,
  found: readonly unknown[],
): 'required' | 'value' | 'code-invalid' | undefined {
  if (found.length < min) return 'required'
  if (max !== undefined && found.length > Number(max)) return 'value'
  if (fixedCode !== undefined && found.some((one) => one !== fixedCode)) return 'value'
  if (found.length === 0) return undefined
  const codings = found.flatMap(codingsOf)
  if (pattern !== undefined && !codings.some((one) => isCode(one, pattern))) return 'code-invalid'
  return binding === undefined || codings.some((one) => isBound(one, binding))
    ? undefined
    : 'code-invalid'
}

/** The values of an element; of a choice those of the type that is taken, or of any. */
function valuesAt(resource: AnyResource, { path, type = '' }: ProfileElement): unknown[] {
  let values: unknown[] = [resource]
  for (const name of path.split('.')) {
    const [stem = name, rest] = name.split('[x]')
    const start = `${stem}${type.charAt(0).toUpperCase()}${type.slice(1)}`
    values = values.flatMap((value) =>
      Object.entries(isObject(value) ? value : {}).flatMap(([member, inner]: [string, unknown]) =>
        (rest === undefined ? member === name : member.startsWith(start)) ? [inner].flat() : [],
      ),
    )
  }
  return values
}

interface Coding {
  readonly system: unknown
  readonly code: unknown
}

const codingsOf = (value: unknown): Coding[] =>
  isObject(value) && Array.isArray(value['coding'])
    ? value['coding'].flatMap((one: unknown) =>
        isObject(one) ? [{ system: one['system'], code: one['code'] }] : [],
      )
    : []

const isCode = (
  one: Coding,
  { system, code }: { readonly system: string; readonly code: string },
): boolean => one.system === system && one.code === code

/** Which codes a value set has, is the same in every version of the software that runs. */
const VALUE_SETS = new Map(valueSets('').map((set) => [set.url, set.compose?.include ?? []]))

const isBound = (one: Coding, binding: string): boolean =>
  (VALUE_SETS.get(binding) ?? []).some(
    ({ system, concept: codes }) =>
      system === one.system && (codes === undefined || codes.some(({ code }) => code === one.code)),
  )
