import { z } from 'zod'
import { AppError, type Fault } from '../errors.ts'
import { readKeySet } from '../security/client-keys.ts'
import { allowsAdministration, parseScopes } from '../security/scopes.ts'
import type { KeySource } from '../storage/clients.ts'
import { restrictionFaults } from './narrowed-sight.ts'
import { mayBeCalled } from './outgoing-request.ts'

const LONGEST_NAME = 200
const LONGEST_SCOPE = 4_000
const LONGEST_URL = 2_000
const LONGEST_KEY_SET = 65_536

/** Where the keys of a client come from: one of the two. */
const Keys = z.object({
  jwks: z
    .looseObject({ keys: z.array(z.unknown()) })
    .optional()
    .meta({ description: 'A JSON Web Key Set of public keys, ES384 or RS384, each with its kid.' }),
  jwksUrl: z
    .string()
    .max(LONGEST_URL)
    .optional()
    .meta({ description: 'Where that set is: HTTPS, on the open Internet.' }),
})
export type AskedKeys = z.infer<typeof Keys>

/** What an administrator says of a system that is to be let in. */
export const Registration = z.strictObject({
  name: z
    .string()
    .max(LONGEST_NAME)
    .regex(/^[^\p{C}]*$/u)
    .regex(/\S/)
    .meta({ description: 'What people call the system.' }),
  partnerId: z
    .uuid()
    .optional()
    .meta({ description: 'Whose system it is; without one it is the clinic’s own.' }),
  scope: z.string().max(LONGEST_SCOPE).meta({
    description:
      'The most that it may be granted: SMART system scopes; admin for the administration of the clinic.',
  }),
  ...Keys.shape,
})
export type Registration = z.infer<typeof Registration>

const fault = (field: string, text: string): Fault => ({
  severity: 'error',
  code: 'invalid',
  expression: field,
  rule: 'client-registration',
  text,
})

/** Throws every fault of a registration at once; none repeats what was sent. */
export function checkedRegistration(
  value: unknown,
  origins: readonly string[],
): Omit<Registration, 'jwks' | 'jwksUrl'> & KeySource {
  const { success, data, error } = Registration.safeParse(value)
  if (!success)
    throw refused(
      error.issues.map(({ path, code, message }) =>
        code === 'unrecognized_keys'
          ? fault('registration', 'It has name, partnerId, scope, jwks and jwksUrl.')
          : fault(path.join('.') || 'registration', message),
      ),
    )
  const { jwks, jwksUrl, ...registration } = data
  const scopes = parseScopes(data.scope)
  const faults = [
    ...(scopes === undefined
      ? [fault('scope', 'SMART v2 system scopes, of single types also with a search part.')]
      : []),
    ...restrictionFaults(scopes ?? []).map((text) => fault('scope', text)),
    ...(data.partnerId !== undefined && allowsAdministration(scopes ?? [])
      ? [fault('scope', 'A partner does not administer the clinic.')]
      : []),
    ...faultsOfKeys(data, origins),
  ]
  if (faults.length > 0) throw refused(faults)
  return { ...registration, ...keySource({ jwks, jwksUrl }) }
}

/** The same for keys alone. */
export function checkedKeys(asked: AskedKeys, origins: readonly string[]): KeySource {
  const faults = faultsOfKeys(asked, origins)
  if (faults.length > 0) throw refused(faults)
  return keySource(asked)
}

function faultsOfKeys({ jwks, jwksUrl }: AskedKeys, origins: readonly string[]): Fault[] {
  if ((jwks === undefined) === (jwksUrl === undefined))
    return [fault('jwks', 'One of jwks and jwksUrl is needed, and not both.')]
  if (jwksUrl !== undefined)
    return mayBeCalled(jwksUrl, origins)
      ? []
      : [fault('jwksUrl', 'Keys are read over HTTPS from the open Internet.')]
  const text = JSON.stringify(jwks)
  const keys = text.length > LONGEST_KEY_SET ? [] : (readKeySet(text) ?? [])
  return keys.length > 0
    ? []
    : [fault('jwks', 'A set of public keys for ES384 or RS384 is needed, each with its kid.')]
}

/** Of a given set only what verifies is kept. */
function keySource({ jwks, jwksUrl }: AskedKeys): KeySource {
  const keys = jwks === undefined ? [] : (readKeySet(JSON.stringify(jwks)) ?? [])
  const kept = keys.map(({ jwk, keyId, algorithm }) => ({ ...jwk, kid: keyId, alg: algorithm }))
  return {
    jwks: jwks === undefined ? null : JSON.stringify({ keys: kept }),
    jwksUrl: jwksUrl ?? null,
  }
}

const refused = (faults: readonly Fault[]): AppError =>
  new AppError('invalid-request', 'The registration cannot be used.', faults)
