import { type CryptoKey, importJWK, type JWK } from 'jose'
import { z } from 'zod'

/** What SMART App Launch asks every server to take; nothing else is. */
export const CLIENT_ALGORITHMS = ['ES384', 'RS384'] as const
export type ClientAlgorithm = (typeof CLIENT_ALGORITHMS)[number]

const MOST_KEYS = 20
/** NIST SP 800-131A: an RSA key of less than 2048 bits signs nothing any more. */
const SHORTEST_MODULUS_BYTES = 256
/** Enough for RSA of 8192 bits, beyond which a check of a signature costs more than it is worth. */
const LONGEST_MODULUS_BYTES = 1_024

/** Members of a private or symmetric key (RFC 7518 6.2.2, 6.3.2, 6.4.1). */
const PRIVATE_MEMBERS = ['d', 'p', 'q', 'dp', 'dq', 'qi', 'oth', 'k']

const text = z.string().max(4_096)
const Key = z.looseObject({
  kty: text,
  kid: z.string().max(256).optional(),
  alg: text.optional(),
  use: text.optional(),
  key_ops: z.array(text).max(10).optional(),
  crv: text.optional(),
  x: text.optional(),
  y: text.optional(),
  n: text.optional(),
  e: text.optional(),
})
const KeySet = z.looseObject({ keys: z.array(Key).max(MOST_KEYS) })
type Key = z.infer<typeof Key>

/** A public key that signs assertions of one client. */
export interface ClientKey {
  readonly keyId: string
  readonly algorithm: ClientAlgorithm
  readonly jwk: JWK
}

/**
 * The keys of a JSON Web Key Set (RFC 7517) that assertions may be signed with; others in it are passed over.
 * Undefined when it is none, or holds a key that should have stayed with the client.
 */
export function readKeySet(json: string): readonly ClientKey[] | undefined {
  const read = KeySet.safeParse(parsed(json))
  if (!read.success) return undefined
  const { keys } = read.data
  if (keys.some((key) => PRIVATE_MEMBERS.some((member) => member in key))) return undefined
  return keys.flatMap((key) => {
    const algorithm = algorithmOf(key)
    const { kid, kty, crv, x, y, n, e } = key
    if (algorithm === undefined || kid === undefined || kid === '') return []
    const jwk: JWK =
      kty === 'EC'
        ? { kty, crv: crv ?? '', x: x ?? '', y: y ?? '' }
        : { kty, n: n ?? '', e: e ?? '' }
    return [{ keyId: kid, algorithm, jwk }]
  })
}

function algorithmOf({
  kty,
  alg,
  use,
  key_ops: uses,
  crv,
  n = '',
}: Key): ClientAlgorithm | undefined {
  if ((use ?? 'sig') !== 'sig' || uses?.includes('verify') === false) return undefined
  const bytes = Buffer.from(n, 'base64url').length
  const algorithm =
    kty === 'EC' && crv === 'P-384'
      ? 'ES384'
      : kty === 'RSA' && bytes >= SHORTEST_MODULUS_BYTES && bytes <= LONGEST_MODULUS_BYTES
        ? 'RS384'
        : undefined
  return alg === undefined || alg === algorithm ? algorithm : undefined
}

/** The key as it verifies; undefined when its numbers are no key. */
export async function openedKey({ jwk, algorithm }: ClientKey): Promise<CryptoKey | undefined> {
  try {
    const key = await importJWK(jwk, algorithm)
    return key instanceof Uint8Array ? undefined : key
  } catch {
    return undefined
  }
}

function parsed(json: string): unknown {
  try {
    return JSON.parse(json)
  } catch {
    return undefined
  }
}
