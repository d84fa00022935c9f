import { readFileSync } from 'node:fs'
import { evaluate } from 'fhirpath'
import r4 from 'fhirpath/fhir-context/r4'
import { z } from 'zod'

const FILE = new URL('../cases/r4/structure-definition-invariants.json', import.meta.url)

const { invariants } = z
  .object({
    invariants: z.array(z.object({ key: z.string(), on: z.string(), expression: z.string() })),
  })
  .parse(JSON.parse(readFileSync(FILE, 'utf8')))

/** Their regular expressions are not those of JavaScript. */
const NOT_RUN: ReadonlySet<string> = new Set(['eld-16', 'eld-19'])

/** Where an ElementDefinition stands in a StructureDefinition. */
const ELEMENTS = '(StructureDefinition.snapshot | StructureDefinition.differential).element'

/** Keys of the published invariants that a StructureDefinition breaks; nothing as a result is kept. */
export function brokenInvariants(definition: object): string[] {
  return invariants
    .filter(({ key }) => !NOT_RUN.has(key))
    .filter(({ on, expression }) => {
      const nodes = on.replace(/^ElementDefinition/, ELEMENTS)
      const broken: unknown[] = evaluate(
        definition,
        `${nodes}.where((${expression}).not()).exists()`,
        { resource: definition },
        r4,
        { async: false, traceFn: () => undefined },
      )
      return broken[0] === true
    })
    .map(({ key }) => key)
}
