import type { Fault } from '../errors.ts'
import { faultsByProfile, profileOf } from './conformance/profile-faults.ts'
import type { AnyResource, Resource } from './r4/types.ts'
import { profiledType } from './validated-profile.ts'

/**
 * What keeps a resource, and those that it contains, from being what their `meta.profile` says, of the profiles that can
 * be checked here: ours, in the one version there is, and the types of R4 itself. To claim any other is not ours to judge
 * (R4 resource.html, Meta.profile: it is up to the server whether a claim is verified).
 *
 * @param resource valid R4
 * @param told     what is told of it already
 */
export function claimFaults(resource: Resource, at: string, told: readonly Fault[]): Fault[] {
  const contained = 'contained' in resource ? (resource.contained ?? []) : []
  return [
    ...beside(told, claimsOf(resource, at)),
    ...contained.flatMap((one, index) => beside([], claimsOf(one, `${at}.contained[${index}]`))),
  ]
}

function claimsOf(resource: AnyResource, at: string): Fault[] {
  const claims = resource.meta?.profile ?? []
  return claims.flatMap((claim, index) => {
    if (claim === null) return []
    const profile = profileOf(claim)
    const type = profile?.type ?? profiledType(claim)
    if (type !== undefined && type !== resource.resourceType)
      return [otherType(`${at}.meta.profile[${index}]`, type)]
    return profile === undefined ? [] : faultsByProfile(profile, resource, at)
  })
}

const otherType = (expression: string, type: string): Fault => ({
  severity: 'error',
  code: 'invalid',
  expression,
  rule: 'profile-type',
  text: `The profile is one of ${type}.`,
})

/** What the rules of a profile say and nobody has told yet: each is told once, however many profiles have it. */
export function beside(told: readonly Fault[], faults: readonly Fault[]): Fault[] {
  const rules = new Set(told.map(({ rule }) => rule))
  const places = new Set(told.map(placed))
  return faults.filter((fault) => {
    if (places.has(placed(fault)) || (fault.rule !== 'profile' && rules.has(fault.rule)))
      return false
    places.add(placed(fault))
    return true
  })
}

const placed = ({ rule, expression }: Fault): string => `${rule} ${expression}`
