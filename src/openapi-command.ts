import { writeFileSync } from 'node:fs'
import { interfaceDescription } from './interface-description.ts'

const file = new URL('../openapi/openapi.json', import.meta.url)
writeFileSync(file, await interfaceDescription())
