import { execFileSync } from 'node:child_process'
import { chmod, mkdir, mkdtemp, rm, writeFile } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterEach, beforeEach, expect, test } from 'vitest'
import { launchAs } from '../../src/storage/embedded-account.ts'

/** Numbers that no user of this machine has. */
const STRANGER = { uid: 61_001, gid: 61_002 }

let folder: string
let program: string

beforeEach(async () => {
  folder = await mkdtemp(join(tmpdir(), 'footing-account-'))
  await mkdir(join(folder, 'data'), { mode: 0o755 })
  program = join(folder, 'program')
  await writeFile(program, '')
  await chmod(program, 0o755)
})

afterEach(() => rm(folder, { recursive: true, force: true }))

test('an ordinary user runs the program as it is', async () => {
  const launch = await launchAs(undefined, [folder], program, ['-V'])

  expect(launch).toEqual({ command: program, args: ['-V'], as: {} })
})

test('where the account may enter every folder, only the user changes', async () => {
  await chmod(folder, 0o711)

  const launch = await launchAs(STRANGER, [join(folder, 'data')], program, ['-V'])

  expect(launch).toEqual({ command: program, args: ['-V'], as: STRANGER })
})

test.for([0o700, 0o710, 0o766])(
  'below a folder of mode %o the program keeps the right to pass',
  async (mode) => {
    await chmod(folder, mode)

    const { command, args, as } = await launchAs(STRANGER, [join(folder, 'data')], program, ['-V'])

    expect([command, as]).toEqual(['setpriv', {}])
    expect(args.join(' ')).toBe(
      `--reuid 61001 --regid 61002 --clear-groups --securebits +no_setuid_fixup --inh-caps +dac_override --ambient-caps +dac_override -- ${program} -V`,
    )
  },
)

test('a program that the account may not run needs the right too', async () => {
  await chmod(folder, 0o711)
  await chmod(program, 0o700)

  expect((await launchAs(STRANGER, [], program, [])).command).toBe('setpriv')
})

test.runIf(process.getuid?.() === 0)(
  'with it a program is neither root nor stopped by a closed folder, whichever way it asks',
  async () => {
    const script = `const fs = require('node:fs')
      fs.accessSync('${program}', fs.constants.X_OK)
      fs.readFileSync('${program}')
      console.log(process.getuid())`
    const { command, args } = await launchAs(STRANGER, [folder], process.execPath, ['-e', script])

    expect(execFileSync(command, args, { encoding: 'utf8' })).toBe('61001\n')
  },
)

test('the owner of a closed folder may enter it', async () => {
  const [uid, gid] = [process.getuid?.() ?? 0, process.getgid?.() ?? 0]

  expect((await launchAs({ uid, gid }, [join(folder, 'data')], program, [])).as).toEqual({
    uid,
    gid,
  })
})
