import { randomUUID } from 'node:crypto'
import { setTimeout as delay } from 'node:timers/promises'
import { beforeAll, expect, test } from 'vitest'
import { openDatabase, type Scope } from '../../src/storage/database.ts'
import type { Tx } from '../../src/storage/transaction.ts'
import { Dice } from '../helpers/any-request.ts'
import { testDatabase } from '../helpers/database.ts'
import { settings } from '../helpers/box.ts'

// A connection is lent to one scope after the other: none ever sees the one before, whatever became of it.

let url: string

beforeAll(async () => {
  const made = await testDatabase()
  url = made.url
  return made.drop
})

const UNITS = 10_000
const AT_ONCE = 16
const TIMEOUT_MS = 40

class Wanted extends Error {}

const SCOPES: readonly Scope[] = Array.from({ length: 20 }, (_, index) => ({
  clinicId: randomUUID(),
  ...(index % 2 === 0 ? {} : { partnerId: randomUUID() }),
}))

/** How a unit of work ends: well mostly, by an error of its own or of the database, or cancelled for its time. */
const ends: Readonly<Record<string, (tx: Tx) => Promise<unknown>>> = {
  well: () => Promise.resolve(),
  thrown: () => Promise.reject(new Wanted()),
  failed: (tx) => tx.query({ text: 'select 1 / 0' }),
  cancelled: (tx) => tx.query({ text: 'select pg_sleep(1)' }),
  late: () => delay(1),
}

test('10,000 units of work of twenty scopes, some of which fail or are cancelled, each see their own', async () => {
  const database = openDatabase({ url, poolSize: 4, statementTimeoutMs: TIMEOUT_MS })
  const dice = new Dice(42)
  const counts = new Map<string, number>()
  const strays: unknown[] = []
  let left = UNITS
  const work = async (): Promise<void> => {
    while (left > 0) {
      left -= 1
      const scope = dice.of(SCOPES)
      const kind = dice.chance(100)
        ? 'cancelled'
        : dice.of(['well', 'well', 'thrown', 'failed', 'late'])
      const run = dice.chance(2) ? database.inClinic : database.readingInClinic
      const outcome = await run(scope, async (tx) => {
        const [first] = await settings(tx)
        await ends[kind]?.(tx)
        const [last] = await settings(tx)
        return [first, last]
      }).catch((error: unknown) => (error instanceof Error ? [] : [error]))
      for (const seen of outcome) {
        const { role, clinic, partner } = Object(seen) as Record<string, unknown>
        const isOwn =
          role === 'app_service' && clinic === scope.clinicId && partner === (scope.partnerId ?? '')
        if (!isOwn) strays.push({ kind, role, clinic, partner, scope })
      }
      counts.set(kind, (counts.get(kind) ?? 0) + 1)
    }
  }
  try {
    await Promise.all(Array.from({ length: AT_ONCE }, work))
    expect(strays).toEqual([])
    expect([...counts.values()].reduce((sum, one) => sum + one, 0)).toBe(UNITS)
    expect(counts.size).toBe(Object.keys(ends).length)
    for (const connection of [1, 2, 3, 4]) {
      const [outside] = await database.asOwner(settings)
      expect(outside, `connection ${connection}`).toMatchObject({ clinic: '', partner: '' })
    }
  } finally {
    await database.close()
  }
})
