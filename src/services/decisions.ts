import { AppError } from '../errors.ts'
import { writeJson } from '../fhir/decimal.ts'
import { FINDING_CODES } from '../fhir/finding-codes.ts'
import { decisionParameters, type KeptDecision, keptDecision } from '../fhir/kept-decisions.ts'
import { ownTarget } from '../fhir/literal-reference.ts'
import { isReferral } from '../fhir/profiles.ts'
import { hasCode } from '../fhir/reading.ts'
import type { Observation } from '../fhir/r4/types.ts'
import type { Caller } from '../security/access-token.ts'
import { provenancesOf } from '../storage/provenances.ts'
import { readOfChild, readResource } from '../storage/resources.ts'
import type { Context } from './context.ts'
import { type Entry, readEntry } from './referral-record.ts'
import { isStableId } from './stable-id.ts'
import { unitOfWork } from './unit-of-work.ts'

/**
 * Every decision about a referral that was kept, oldest first: when, what, under which rules, from which
 * versions, and what differs from the one before. As the caller sees it; nothing is computed anew.
 *
 * @returns Parameters as JSON
 */
export function decisionsOf(context: Context, caller: Caller, id: string): Promise<string> {
  const needs = [
    { type: 'ServiceRequest', letter: 'r' },
    { type: 'Observation', letter: 'r' },
    { type: 'Provenance', letter: 'r' },
  ] as const
  return unitOfWork(context, caller, needs, async (tx) => {
    const { clinicId } = caller
    const stored = await readResource(tx, { clinicId, type: 'ServiceRequest', id })
    if (stored === undefined)
      throw new AppError('not-found', `ServiceRequest/${id} does not exist.`)
    if (stored.deleted) throw new AppError('deleted', `ServiceRequest/${id} was deleted.`)
    const { resource } = readEntry(stored)
    if (resource.resourceType !== 'ServiceRequest' || !isReferral(resource))
      throw new AppError(
        'business-rule',
        'This ServiceRequest is no referral for orthotic assessment.',
      )
    const child = ownTarget(resource.subject.reference, context.baseUrl)?.id ?? ''
    caller.call.touch({ type: 'ServiceRequest', id, did: 'read' }, child)
    const own = (await readOfChild(tx, clinicId, child, ['Observation']))
      .map(readEntry)
      .filter(isObservation)
      .filter((one) => isAbout(one.resource, id, context.baseUrl))
    const suitable = own.filter((one) => hasCode(one.resource.code, FINDING_CODES.suitability))
    const ids = suitable.map((one) => one.stored.id)
    const byId = new Map(own.map((one) => [one.stored.id, one.resource] as const))
    const decisions = (await provenancesOf(tx, clinicId, ids)).flatMap((version) => {
      const provenance = readEntry(version).resource
      // What somebody sent about a finding is not how it was made.
      if (provenance.resourceType !== 'Provenance' || !isStableId(version.id)) return []
      const findings = provenance.target.flatMap(
        ({ reference }) => byId.get(ownTarget(reference, context.baseUrl)?.id ?? '') ?? [],
      )
      return keptDecision(provenance, findings) ?? []
    })
    const parameter = decisionParameters(fullest(decisions))
    return writeJson({
      resourceType: 'Parameters',
      ...(parameter.length === 0 ? {} : { parameter }),
    })
  })
}

/** Of two accounts of one decision, which staff see, the one that also names what only they may see. */
function fullest(decisions: readonly KeptDecision[]): KeptDecision[] {
  const kept = new Map<string, KeptDecision>()
  for (const one of decisions) {
    const id = one.suitability.id ?? ''
    if (namedIn(kept.get(id)) < namedIn(one)) kept.set(id, one)
  }
  return [...kept.values()]
}

const namedIn = (decision: KeptDecision | undefined): number =>
  decision?.provenance.entity?.length ?? -1

const isObservation = (entry: Entry): entry is Entry<Observation> =>
  entry.resource.resourceType === 'Observation'

const isAbout = ({ basedOn = [] }: Observation, id: string, baseUrl: string): boolean =>
  basedOn.some(({ reference }) => ownTarget(reference, baseUrl)?.id === id)
