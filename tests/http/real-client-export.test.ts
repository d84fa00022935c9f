import { Client } from 'fhir-kit-client'
import { beforeAll, expect, test } from 'vitest'
import { z } from 'zod'
import { exported, linesOf } from '../helpers/bulk-export.ts'
import { type Listening, listeningFor } from '../helpers/listening.ts'

// fhir-kit-client asks for an export and its state. A file it cannot read, it knows JSON only: that is fetched.

let listening: Listening
let client: Client

beforeAll(async () => {
  listening = await listeningFor('staff')
  client = new Client({ baseUrl: listening.base, bearerToken: listening.token })
  return listening.close
})

const Response = z.object({ status: z.number(), headers: z.instanceof(Headers) })

test('it exports what it created, line by line', async () => {
  const resourceType = 'Organization'
  const body = { resourceType, name: 'Exported practice (invented)' }
  const made = await client.create({ resourceType, body })

  const { output } = await exported('$export?_type=Organization', async (url, headers) => {
    const answer = await client.request(url, { options: headers === undefined ? {} : { headers } })
    return { ...Response.parse(Client.httpFor(answer).response), body: answer }
  })

  const authorization = `Bearer ${listening.token}`
  const texts = await Promise.all(
    output.map(async ({ url }) => (await fetch(url, { headers: { authorization } })).text()),
  )
  expect(output).toMatchObject([{ type: 'Organization', count: 1 }])
  expect(texts.flatMap(linesOf)).toEqual([made])
})
