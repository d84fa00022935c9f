import { readdirSync, readFileSync } from 'node:fs'
import { z } from 'zod'

const FOLDER = new URL('../cases/r4/', import.meta.url)

const Case = z.object({
  id: z.string().optional(),
  name: z.string(),
  resource: z.record(z.string(), z.unknown()),
})
export type Case = z.infer<typeof Case>

function casesOf(file: string): Case[] {
  return z.array(Case).parse(JSON.parse(readFileSync(new URL(file, FOLDER), 'utf8')))
}

/** Invented resources without a fault. */
export const validCases = (): Case[] => casesOf('validation-valid.json')

/** Invented resources with one fault each, by the row of the validation matrix. */
export const brokenCases = (): Case[] => casesOf('validation-broken.json')

/** The official R4 examples that were copied, as text, so that their digits can be compared. */
export function officialExamples(): { name: string; text: string }[] {
  const folder = new URL('examples/', FOLDER)
  return readdirSync(folder)
    .sort()
    .map((name) => ({ name, text: readFileSync(new URL(name, folder), 'utf8') }))
}

/** One of the valid resources, to be changed. */
export function validResource(name: string): Record<string, unknown> {
  const found = validCases().find((one) => one.name === name)
  if (found === undefined) throw new Error(`There is no valid case ${name}`)
  return found.resource
}
