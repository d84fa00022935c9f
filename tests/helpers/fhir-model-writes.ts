import { z } from 'zod'
import type { Criterion } from './fhir-model-search.ts'
import type { Json } from './referral.ts'

// The writes that a model of R4's http.html is asked for, and what they say by themselves.

export interface PatchStep {
  readonly op: 'add' | 'remove' | 'replace' | 'test'
  readonly path: string
  readonly value?: unknown
}

/** A resource by its place, `Type/id`, or by a search. */
export type Aim = { readonly place: string } | { readonly criteria: readonly Criterion[] }

interface Aimed {
  readonly type: string
  readonly aim: Aim
  /** The version that its sender has seen. */
  readonly ifMatch: number | undefined
}

export type Write =
  | {
      readonly does: 'create'
      readonly type: string
      readonly resource: Json
      readonly ifNoneExist: readonly Criterion[] | undefined
      /** What others of the transaction call it. */
      readonly fullUrl: string
    }
  | ({ readonly does: 'update'; readonly resource: Json } & Aimed)
  | ({ readonly does: 'patch'; readonly patch: readonly PatchStep[] } & Aimed)
  | ({ readonly does: 'delete' } & Aimed)

export const fullUrlOf = (write: Write): string | undefined =>
  write.does === 'create' ? write.fullUrl : undefined

const Reference = z.object({ reference: z.string() })
const JsonObject = z.record(z.string(), z.unknown())

/** None of the types here has references deeper than in its members. */
export function referencesOf(resource: Json | undefined): string[] {
  return Object.values(resource ?? {}).flatMap((member) => {
    const reference = Reference.safeParse(member)
    return reference.success ? [reference.data.reference] : []
  })
}

/** With names of the transaction replaced by where the entries are kept. */
export function linked(resource: Json, names: ReadonlyMap<string, string>): Json {
  let text = JSON.stringify(resource)
  for (const [name, place] of names) text = text.replaceAll(`"${name}"`, `"${place}"`)
  return JsonObject.parse(JSON.parse(text))
}

/** A resource stays about the child that it is about. */
export function isChildMoved(before: Json | undefined, after: Json): boolean {
  const was = before?.['subject']
  return was !== undefined && JSON.stringify(was) !== JSON.stringify(after['subject'])
}

/** Undefined where a step fails; the steps name members of the resource itself (RFC 6902). */
export function patched(resource: Json, steps: readonly PatchStep[]): Json | undefined {
  const result = { ...resource }
  for (const { op, path, value } of steps) {
    const name = path.slice(1)
    if (op !== 'add' && !(name in result)) return undefined
    if (op === 'test' && JSON.stringify(result[name]) !== JSON.stringify(value)) return undefined
    if (op === 'remove') delete result[name]
    if (op === 'add' || op === 'replace') result[name] = value
  }
  return isWhole(result) ? result : undefined
}

const DEMANDED: Readonly<Record<string, readonly string[]>> = {
  Patient: ['identifier', 'birthDate'],
  Observation: ['status', 'code'],
}

/** What R4 and our profiles demand of what is sent here; of an Organization one of two (org-1). */
function isWhole(resource: Json): boolean {
  const demanded = DEMANDED[String(resource['resourceType'])]
  if (demanded === undefined) return 'name' in resource || 'identifier' in resource
  return demanded.every((name) => name in resource)
}
