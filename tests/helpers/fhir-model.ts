import { type Criterion, fits, type Found } from './fhir-model-search.ts'
import {
  fullUrlOf,
  isChildMoved,
  linked,
  patched,
  referencesOf,
  type Write,
} from './fhir-model-writes.ts'
import type { Json } from './referral.ts'

// What http.html of R4 and the decisions of this service say of reads and writes, all in memory.

export interface Version {
  readonly version: number
  /** None for a deletion. */
  readonly resource: Json | undefined
  /** When it was written, in ms. */
  readonly at: number
}

/** What one write comes to. */
export interface Effect {
  readonly status: number
  /** None for what gets a new id, and where nothing is there. */
  readonly place?: string
  readonly written?: { readonly version: number; readonly resource: Json | undefined }
}

interface Refused {
  readonly refusal: number
  readonly place?: string
  readonly sent?: Json
}

/** Where several things are wrong, R4 does not say which is told first. */
export type Plan =
  | { readonly refusals: readonly number[] }
  | { readonly effects: readonly Effect[] }

export class FhirModel {
  readonly kept = new Map<string, Version[]>()

  current(place: string): Version | undefined {
    return this.kept.get(place)?.at(-1)
  }

  isLive(place: string): boolean {
    return this.current(place)?.resource !== undefined
  }

  /** Also of what is deleted: it comes back about its own child alone. */
  private lastContent(place: string): Json | undefined {
    return this.kept.get(place)?.findLast(({ resource }) => resource !== undefined)?.resource
  }

  /** The places of what a search finds. */
  found(type: string, criteria: readonly Criterion[], now: number): string[] {
    return [...this.kept].flatMap(([place, versions]) => {
      const { resource, at = 0 } = versions.at(-1) ?? {}
      if (resource === undefined || !place.startsWith(`${type}/`)) return []
      const found: Found = { place, resource, at }
      return fits(criteria, found, now) ? [place] : []
    })
  }

  /** Of one write, or of a transaction: all or nothing. */
  plan(writes: readonly Write[], now: number): Plan {
    const each = writes.map((write) => this.planOne(write, now))
    const effects = each.filter((one) => 'status' in one)
    const names = new Set(writes.map(fullUrlOf))
    const refusals = [
      ...each.flatMap((one) => ('refusal' in one ? [one.refusal] : [])),
      ...this.refusedTogether(each, names),
    ]
    return refusals.length > 0 ? { refusals } : { effects }
  }

  /** @param places where each write is kept; new ids are the service's */
  commit(
    effects: readonly Effect[],
    { writes, places, at }: { writes: readonly Write[]; places: readonly string[]; at: number },
  ): void {
    const names = new Map(
      writes.flatMap((write, index) => {
        const name = fullUrlOf(write)
        return name === undefined ? [] : [[name, places[index] ?? ''] as const]
      }),
    )
    for (const [index, { written }] of effects.entries()) {
      if (written === undefined) continue
      const place = places[index] ?? ''
      const resource = written.resource === undefined ? undefined : linked(written.resource, names)
      const version = { version: written.version, resource, at }
      this.kept.set(place, [...(this.kept.get(place) ?? []), version])
    }
  }

  private planOne(write: Write, now: number): Effect | Refused {
    if (write.does !== 'create' && 'place' in write.aim) return this.planAt(write.aim.place, write)
    const criteria = write.does === 'create' ? write.ifNoneExist : criteriaOf(write)
    if (criteria === undefined) return planNew(write)
    const [match, ...others] = this.found(write.type, criteria, now)
    if (others.length > 0) return { refusal: 412 }
    if (match === undefined) return planNew(write)
    if (write.does === 'create') return { status: 200, place: match }
    const id = write.does === 'update' ? write.resource['id'] : undefined
    if (id !== undefined && id !== match.split('/')[1]) return { refusal: 400, place: match }
    return this.planAt(match, write)
  }

  private planAt(place: string, write: Exclude<Write, { does: 'create' }>): Effect | Refused {
    const current = this.current(place)
    const isGone = current?.resource === undefined
    const refused = (refusal: number): Refused => ({
      refusal,
      place,
      ...(write.does === 'update' ? { sent: write.resource } : {}),
    })
    // Deleting what is gone is no error, but nobody can have seen a version of it.
    if (write.does === 'delete' && isGone)
      return write.ifMatch === undefined ? { status: 204, place } : refused(412)
    if (current === undefined) return refused(write.does === 'update' ? 405 : 404)
    if (write.does === 'patch' && isGone) return refused(410)
    if (write.ifMatch !== undefined && write.ifMatch !== current.version) return refused(412)
    const version = current.version + 1
    if (write.does === 'delete')
      return { status: 204, place, written: { version, resource: undefined } }
    const resource =
      write.does === 'update' ? write.resource : patched(current.resource ?? {}, write.patch)
    if (resource === undefined || isChildMoved(this.lastContent(place), resource))
      return refused(422)
    return { status: isGone ? 201 : 200, place, written: { version, resource } }
  }

  /** One identity twice, references that lead nowhere, and deletions of what is referred to. */
  private refusedTogether(
    each: readonly (Effect | Refused)[],
    names: ReadonlySet<string | undefined>,
  ): number[] {
    const places = each.flatMap(({ place }) => place ?? [])
    const deleted = new Set<string>()
    const written = new Set<string>()
    for (const one of each)
      if ('status' in one && one.place !== undefined && one.written !== undefined)
        (one.written.resource === undefined ? deleted : written).add(one.place)
    const dangling = each
      .flatMap((one) => referencesOf('refusal' in one ? one.sent : one.written?.resource))
      .filter((to) => !names.has(to) && !written.has(to) && (deleted.has(to) || !this.isLive(to)))
    const referring = [...this.kept].filter(
      ([place, versions]) =>
        !places.includes(place) &&
        referencesOf(versions.at(-1)?.resource).some((to) => deleted.has(to)),
    )
    return [
      ...(new Set(places).size < places.length ? [422] : []),
      ...(dangling.length > 0 ? [422] : []),
      ...(referring.length > 0 ? [409] : []),
    ]
  }
}

const criteriaOf = ({ aim }: Exclude<Write, { does: 'create' }>): readonly Criterion[] =>
  'criteria' in aim ? aim.criteria : []

/** Of what a condition does not find. */
function planNew(write: Write): Effect | Refused {
  if (write.does === 'patch') return { refusal: 404 }
  if (write.does === 'delete') return { status: 204 }
  if (write.does === 'update' && write.resource['id'] !== undefined)
    return { refusal: 405, sent: write.resource }
  return { status: 201, written: { version: 1, resource: write.resource } }
}
