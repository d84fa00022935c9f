import { type ChildProcess, spawn } from 'node:child_process'
import { mkdtemp, readdir, rm } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, beforeAll, expect, test } from 'vitest'

// The command as a newcomer runs it, in a temporary folder of its own.

const ROOT = new URL('../..', import.meta.url)
const SLOW_MS = 120_000

let folder: string
beforeAll(async () => {
  folder = await mkdtemp(join(tmpdir(), 'demo-test-'))
})
afterAll(() => rm(folder, { recursive: true, force: true }))

/** The TypeScript loader keeps a cache of its own there. */
const leftBehind = async (): Promise<string[]> =>
  (await readdir(folder)).filter((name) => !name.startsWith('tsx-'))

interface Ended {
  readonly code: number | null
  readonly out: string
  readonly err: string
}

/** Runs the demo; what it prints is shown to the watcher, who may ask it to stop. */
function demo(args: readonly string[], watch?: (out: string, child: ChildProcess) => void) {
  return new Promise<Ended>((resolve, reject) => {
    const child = spawn(process.execPath, ['--import', 'tsx', 'src/demo/main.ts', ...args], {
      cwd: ROOT,
      env: { ...process.env, TMPDIR: folder },
    })
    let out = ''
    let err = ''
    child.stdout.on('data', (data: Buffer) => {
      out += data.toString('utf8')
      watch?.(out, child)
    })
    child.stderr.on('data', (data: Buffer) => {
      err += data.toString('utf8')
    })
    child.once('error', reject)
    child.once('close', (code) => resolve({ code, out, err }))
  })
}

const NAMES = ['Tansy Madeup', 'Bram Fictional', 'Juno Imaginary', 'Otis Pretend', 'Lark Invented']

test(
  'the demo tells of every child, ends with 0 and leaves nothing behind',
  async () => {
    const { code, out, err } = await demo([])

    expect([code, err]).toEqual([0, ''])
    for (const name of [...NAMES, 'Wren Storybook']) expect(out).toContain(name)
    expect(out.match(/^ {2}[A-Z -]+, (?:routine|urgent) \(urgency [\d.]+ of 100\)$/gm)).toEqual([
      expect.stringContaining('SUITABLE AFTER REVIEW, urgent'),
      expect.stringContaining('UNDETERMINED, urgent'),
      expect.stringContaining('NOT SUITABLE, urgent'),
      expect.stringContaining('WATCH AND RE-CHECK, routine'),
      expect.stringContaining('WATCH AND RE-CHECK, routine'),
    ])
    expect(out).toMatch(/0\.59 of the typical pace \(90 % interval 0\.55 to 0\.63\)/)
    expect(out).toContain('Suitability: SUITABLE')
    expect(out.replaceAll(/\s+/g, ' ')).toContain('the same answer and nothing stored twice')
    expect(out).toContain('14.0 months (11.7 corrected)')
    expect(out).not.toMatch(/undefined|NaN|[{}]|[0-9a-f]{8}-[0-9a-f]{4}-/)
    expect(out).not.toContain('\u001B')
    expect(Math.max(...out.split('\n').map((line) => line.length))).toBeLessThanOrEqual(80)
    expect(await leftBehind()).toEqual([])
  },
  SLOW_MS,
)

test(
  'with --keep the printed lines can be used until it is stopped',
  async () => {
    let asked: Promise<string[]> | undefined
    const { code, out } = await demo(['--keep'], (printed, child) => {
      if (asked !== undefined || !printed.includes('Documentation:')) return
      const [, base = ''] = /^FHIR=(.+)$/m.exec(printed) ?? []
      const [, token = ''] = /^TOKEN=(.+)$/m.exec(printed) ?? []
      const headers = { authorization: `Bearer ${token}`, connection: 'close' }
      const paths = [...printed.matchAll(/^curl .*"\$FHIR\/([^"]+)"$/gm)].map(
        ([, path = '']) => path,
      )
      asked = Promise.all(
        paths.map(async (path) => {
          const answer = await fetch(`${base}/${path.replace('\\$', '$')}`, { headers })
          const found = /"total":(\d+)/.exec(await answer.text())?.[1]
          return found === undefined ? `${answer.status}` : `${answer.status}, ${found} found`
        }),
      ).finally(() => child.kill('SIGINT'))
    })

    expect(await asked).toEqual(['200', '200, 1 found', '200, 1 found', '200', '200'])
    expect([code, out.split('\n').at(-2)]).toEqual([0, 'Stopped; the temporary database is gone.'])
    expect(await leftBehind()).toEqual([])
  },
  SLOW_MS,
)

test(
  'when nobody reads on, everything is stopped all the same',
  async () => {
    const { code, err } = await demo([], (_, child) => child.stdout?.destroy())

    expect([code, err]).toEqual([1, ''])
    expect(await leftBehind()).toEqual([])
  },
  SLOW_MS,
)

test('an unknown option is refused before anything is started', async () => {
  const { code, err } = await demo(['--kept'])

  expect(code).toBe(1)
  expect(err).toMatch(/^The demo failed: Unknown option '--kept'/)
})
