import { execFile } from 'node:child_process'
import { fileURLToPath } from 'node:url'
import { expect, test } from 'vitest'

const ROOT = fileURLToPath(new URL('..', import.meta.url))

interface Ended {
  readonly code: unknown
  readonly said: string
}

const run = (
  program: string,
  args: readonly string[],
  env: Readonly<Record<string, string>> = {},
): Promise<Ended> =>
  new Promise((resolve) => {
    execFile(
      process.execPath,
      ['--import', 'tsx', `src/${program}.ts`, ...args],
      { cwd: ROOT, env: { DATABASE_URL: 'postgresql://127.0.0.1:1/none', ...env } },
      (error, out, said) => resolve({ code: error?.code, said: `${out}${said}` }),
    )
  })

test.each<[string, string, string[], Record<string, string>, RegExp]>([
  ['a setting', 'main', [], { PORT: 'x' }, /PORT must be a whole number from 0 to 65535/],
  ['no server at the address', 'main', [], {}, /ECONNREFUSED/],
  ['the life of a token', 'token-command', ['x', '--lifetime', '7200'], {}, /from 1 to 3600/],
  ['an unknown option', 'staff-command', ['--bogus'], {}, /Unknown option '--bogus'/],
])('%s that is wrong is said in words, without a trace of the stack', async (...given) => {
  const [, program, args, env, wanted] = given
  const { code, said } = await run(program, args, env)

  expect(code).toBe(1)
  expect(said).toMatch(wanted)
  expect(said).not.toMatch(/^\s+at /m)
})
