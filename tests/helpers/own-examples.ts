import { readdirSync, readFileSync } from 'node:fs'
import { z } from 'zod'

import { attached, ruleSetJson } from './rule-sets.ts'

const FOLDER = new URL('../cases/r4/own/', import.meta.url)

const Named = z.looseObject({ resourceType: z.string(), id: z.string() })

export interface OwnExample {
  readonly type: string
  /** `Patient/example-child`, as the other examples refer to it. */
  readonly place: string
  /** As it is sent: the digits of its numbers are those of the file. */
  readonly text: string
}

/** One invented resource of every type that the service keeps, by type. */
export function ownExamples(): OwnExample[] {
  return readdirSync(FOLDER)
    .sort()
    .map((name) => {
      const text = readFileSync(new URL(name, FOLDER), 'utf8')
      const resource = Named.parse(JSON.parse(text))
      const { resourceType: type, id } = resource
      return {
        type,
        place: `${type}/${id}`,
        text: type === 'Library' ? JSON.stringify(withRuleSet(resource)) : text,
      }
    })
}

/** The shipped rule set under another name: a committed copy would be out of date with every setting. */
const withRuleSet = (library: z.infer<typeof Named>): object => ({
  ...library,
  content: [attached(JSON.stringify(ruleSetJson({ id: 'invented-example', version: '1.0.0' })))],
})
