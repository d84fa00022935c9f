import { chown, readdir, readFile, realpath, stat } from 'node:fs/promises'
import { dirname, join } from 'node:path'

/** The user that the server runs as. */
export interface Account {
  readonly uid: number
  readonly gid: number
}

/** How a program is to be spawned so that it runs as the account and reaches its files. */
export interface Launch {
  readonly command: string
  readonly args: readonly string[]
  readonly as: Partial<Account>
}

const ROOT = 0
/** Users that systems have ready for a service that owns nothing, best first. */
const SERVICE_USERS = ['postgres', 'nobody']
/** Linux keeps this number for "nobody" (kernel: fs.overflowuid). */
const NOBODY: Account = { uid: 65_534, gid: 65_534 }

/**
 * The user to run as: nothing when we are an ordinary user, for then it is ourselves. PostgreSQL refuses
 * to be root, so root takes the owner of the existing cluster or an unprivileged user that is there.
 */
export async function accountFor(cluster: string): Promise<Account | undefined> {
  const ownUid = process.getuid?.()
  const owner = await stat(cluster).catch(() => undefined)
  if (ownUid !== ROOT) {
    if (owner !== undefined && ownUid !== undefined && owner.uid !== ownUid)
      throw new Error(
        `The data folder ${cluster} belongs to another user (${owner.uid}). ` +
          'Run the service as that user, or set DATA_DIR or DATABASE_URL.',
      )
    return undefined
  }
  if (owner === undefined || owner.uid === ROOT) return serviceUser()
  return { uid: owner.uid, gid: owner.gid }
}

async function serviceUser(): Promise<Account> {
  const lines = (await readFile('/etc/passwd', 'utf8').catch(() => '')).split('\n')
  for (const name of SERVICE_USERS) {
    const [, , uid, gid] = lines.find((line) => line.startsWith(`${name}:`))?.split(':') ?? []
    if (Number(uid) > ROOT) return { uid: Number(uid), gid: Number(gid) }
  }
  return NOBODY
}

/** Hands a file, or a folder and all that is in it, to the account. */
export async function giveTo(account: Account | undefined, path: string): Promise<void> {
  const present = await stat(path)
  if (account === undefined || present.uid === account.uid) return
  const names = present.isDirectory() ? await readdir(path, { recursive: true }) : []
  for (const name of names) await chown(join(path, name), account.uid, account.gid)
  // The folder itself last: its owner says that the work was completed.
  await chown(path, account.uid, account.gid)
}

/**
 * Below a folder that the account may not enter (mode 0700, as of /root or of a temporary folder) the
 * program keeps one right of root's, to pass closed folders, and no other.
 */
export async function launchAs(
  account: Account | undefined,
  paths: readonly string[],
  command: string,
  args: readonly string[],
): Promise<Launch> {
  if (account === undefined) return { command, args, as: {} }
  const { uid, gid } = account
  const open = await Promise.all([command, ...paths].map((path) => reaches(account, path)))
  if (open.every(Boolean)) return { command, args, as: { uid, gid } }
  const identity = ['--reuid', String(uid), '--regid', String(gid), '--clear-groups']
  // Without the bit, access(2) would not count the right, and initdb asks it for its programs.
  const counted = ['--securebits', '+no_setuid_fixup']
  const right = ['--inh-caps', '+dac_override', '--ambient-caps', '+dac_override']
  return {
    command: 'setpriv',
    args: [...identity, ...counted, ...right, '--', command, ...args],
    as: {},
  }
}

/** May the account enter every folder above the path, and read and run the path itself? */
async function reaches(account: Account, path: string): Promise<boolean> {
  let place = await realpath(path)
  for (;;) {
    const { mode, uid, gid } = await stat(place)
    const shift = uid === account.uid ? 6 : gid === account.gid ? 3 : 0
    if (((mode >> shift) & 1) === 0) return false
    if (dirname(place) === place) return true
    place = dirname(place)
  }
}
