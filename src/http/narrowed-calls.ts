import type { FastifyRequest } from 'fastify'
import type { Identity } from '../security/access-token.ts'
import { narrowedTypes } from '../security/scopes.ts'
import { notForNarrowed } from '../services/narrowed-sight.ts'

/**
 * What a token may ask for of which a scope has a search part: what reads and writes resources, of which the
 * database then shows a part. What is computed from the whole record is not among it, nor anything new.
 */
const ANSWERED: ReadonlySet<string> = new Set([
  'read',
  'readBinary',
  'vread',
  'historyOfInstance',
  'historyOfType',
  'historyOfSystem',
  'search',
  'searchByForm',
  'searchSystem',
  'searchSystemByForm',
  'searchCompartment',
  'searchCompartmentByForm',
  'create',
  'createBinary',
  'update',
  'updateBinary',
  'conditionalUpdate',
  'patch',
  'conditionalPatch',
  'delete',
  'conditionalDelete',
  'transaction',
])

const OPERATION = /\/\$(?:everything|export|export-status\/:id|export-file\/:id\/:file)$/

/** Throws where the search part of a scope could not be kept. */
export function refuseNarrowed(request: FastifyRequest, { scopes }: Identity): void {
  if (request.is404 || narrowedTypes(scopes).length === 0) return
  const { schema, url = '' } = request.routeOptions
  if (ANSWERED.has(schema?.operationId ?? '') || OPERATION.test(url)) return
  throw notForNarrowed()
}
