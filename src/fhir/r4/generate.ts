import { readFileSync, writeFileSync } from 'node:fs'

import { definitionsText } from './generate-definitions.ts'
import { modelOf, OfficialSource } from './generate-model.ts'
import { typesText } from './generate-types.ts'

/** A development script: reads the two npm packages, writes the generated files beside it. */
const modules = new URL('../../../node_modules/', import.meta.url)
const json = (path: string): unknown => JSON.parse(readFileSync(new URL(path, modules), 'utf8'))

const model = modelOf(
  OfficialSource.parse({
    types: json('fhir/profiles/types.json'),
    valueSets: json('fhir/profiles/valuesets.json'),
    paths: json('fhirpath/fhir-context/r4/path2Type.json'),
  }),
)
writeFileSync(new URL('definitions.ts', import.meta.url), definitionsText(model))
writeFileSync(new URL('types.ts', import.meta.url), typesText(model))
