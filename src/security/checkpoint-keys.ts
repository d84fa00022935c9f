import { base64url, CompactSign, compactVerify, importJWK, type JWK, type CryptoKey } from 'jose'

const ALGORITHM = 'ES256'
const TYPE = 'audit-checkpoint+jws'

export interface CheckpointKeys {
  /** A JWS (RFC 7515, appendix F) without its payload: header, nothing, signature. */
  readonly sign: (text: string) => Promise<string>
  /** Whether one of our keys signed this text. */
  readonly verify: (text: string, signature: string) => Promise<boolean>
  /** With what others verify, each a JSON Web Key. */
  readonly published: readonly string[]
}

interface Key {
  readonly keyId: string
  readonly privateKey: CryptoKey
  readonly publicKey: CryptoKey
  readonly published: string
}

/** The JWS with its payload, as every library of JOSE verifies it. */
export function wholeSignature(text: string, signature: string): string {
  const [header = '', , proof = ''] = signature.split('.')
  return `${header}.${base64url.encode(text)}.${proof}`
}

/** @param keys at least one; the first signs, all verify */
export async function openCheckpointKeys(
  keys: readonly { readonly keyId: string; readonly privateJwk: string }[],
): Promise<CheckpointKeys> {
  const opened = await Promise.all(keys.map(openKey))
  const [first] = opened
  if (first === undefined) throw new Error('There is no key to sign checkpoints with')
  return {
    sign: async (text) => {
      const whole = await new CompactSign(Buffer.from(text))
        .setProtectedHeader({ alg: ALGORITHM, kid: first.keyId, typ: TYPE })
        .sign(first.privateKey)
      const [header, , proof] = whole.split('.')
      return `${header}..${proof}`
    },
    verify: (text, signature) => isSigned(opened, wholeSignature(text, signature)),
    published: opened.map(({ published }) => published),
  }
}

async function isSigned(keys: readonly Key[], whole: string): Promise<boolean> {
  try {
    const { protectedHeader } = await compactVerify(
      whole,
      ({ kid }) => {
        const key = keys.find(({ keyId }) => keyId === kid)
        if (key === undefined) throw new Error('unknown key')
        return key.publicKey
      },
      { algorithms: [ALGORITHM] },
    )
    return protectedHeader.typ === TYPE
  } catch {
    return false
  }
}

async function openKey({
  keyId,
  privateJwk,
}: {
  readonly keyId: string
  readonly privateJwk: string
}): Promise<Key> {
  const jwk = JSON.parse(privateJwk) as JWK
  const { kty = '', crv = '', x = '', y = '' } = jwk
  const privateKey = await importJWK(jwk, ALGORITHM)
  const publicKey = await importJWK({ kty, crv, x, y }, ALGORITHM)
  if (privateKey instanceof Uint8Array || publicKey instanceof Uint8Array)
    throw new Error('A key of checkpoints must be an elliptic curve key')
  const published = JSON.stringify({ kty, crv, x, y, kid: keyId, use: 'sig', alg: ALGORITHM })
  return { keyId, privateKey, publicKey, published }
}
