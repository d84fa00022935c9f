import { randomBytes, randomInt, scrypt, timingSafeEqual } from 'node:crypto'

/** Cost of a check, as the OWASP Password Storage Cheat Sheet gives it for scrypt with 32 MiB. */
const COST = { N: 2 ** 15, r: 8, p: 3 }
const MAX_MEMORY = 64 * 1024 * 1024
const SALT_BYTES = 16
const KEY_BYTES = 32

/** Shortest and longest that are taken: NIST SP 800-63B-4 asks for 15 where a password is the only factor. */
export const PASSWORD_LENGTH = { shortest: 15, longest: 200 } as const

/** A password as it is kept: cost, salt and key, so that a later cost leaves the old ones valid. */
export async function sealPassword(password: string): Promise<string> {
  const salt = randomBytes(SALT_BYTES)
  const key = await derive(password, salt, COST)
  const { N, r, p } = COST
  return ['scrypt', N, r, p, salt.toString('base64'), key.toString('base64')].join('$')
}

/** Is it this password? One that was sealed in another form is never. */
export async function isPassword(password: string, sealed: string): Promise<boolean> {
  const [form, cost, blocks, parallel, salt = '', key = ''] = sealed.split('$')
  if (form !== 'scrypt') return false
  const given = Buffer.from(key, 'base64')
  const made = await derive(password, Buffer.from(salt, 'base64'), {
    N: Number(cost),
    r: Number(blocks),
    p: Number(parallel),
  })
  return given.length === made.length && timingSafeEqual(given, made)
}

const LETTERS = 'abcdefghjkmnpqrstuvwxyz23456789'
const GROUPS = 5
const GROUP = 5

/** A password that nobody has to think of: 25 signs of 31, none that is read as another; 123 bits. */
export const newPassword = (): string =>
  Array.from({ length: GROUPS }, () =>
    Array.from({ length: GROUP }, () => LETTERS.charAt(randomInt(LETTERS.length))).join(''),
  ).join('-')

/** As people type it: the same letters in another composition are the same password. */
const derive = (
  password: string,
  salt: Buffer,
  { N, r, p }: { readonly N: number; readonly r: number; readonly p: number },
): Promise<Buffer> =>
  new Promise((resolve, reject) => {
    scrypt(
      password.normalize('NFKC'),
      salt,
      KEY_BYTES,
      { N, r, p, maxmem: MAX_MEMORY },
      (error, key) => (error === null ? resolve(key) : reject(error)),
    )
  })
