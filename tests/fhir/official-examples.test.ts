import { existsSync, readdirSync, readFileSync } from 'node:fs'
import { expect, test } from 'vitest'

import { parseText } from '../../src/fhir/json-body.ts'
import { validateResource } from '../../src/fhir/validate.ts'

/** More of the official R4 examples lie beside some checkouts; they are not part of the project. */
const BESIDE = new URL('../../../shared/reference/fhir/r4/', import.meta.url)

/** Carries a modifierExtension that nobody here knows, so it is refused (R4 2.5.0.2.1). */
const WITH_MODIFIER = 'Basic-referral.json'

const names = existsSync(BESIDE)
  ? readdirSync(BESIDE).filter((name) => name.endsWith('.json') && name !== WITH_MODIFIER)
  : []

test.skipIf(names.length === 0)(
  `the ${names.length} official examples beside the project are accepted`,
  () => {
    const refused = names.flatMap((name) => {
      const body = parseText(readFileSync(new URL(name, BESIDE), 'utf8'))
      const faults = body.ok ? validateResource(body.value) : body.faults
      return faults.map(({ rule, expression }) => `${name}: ${rule} at ${expression}`)
    })

    expect(refused).toEqual([])
  },
)
