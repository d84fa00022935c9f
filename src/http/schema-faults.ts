import type { FastifyError } from 'fastify'
import { AppError, type Fault } from '../errors.ts'

/** In our words: those of the validator speak of its own types. */
const WORDS: Readonly<Record<string, string>> = {
  too_big: 'This is longer than it may be.',
  too_small: 'This must not be empty.',
  invalid_type: 'This is given once.',
}
const OTHERWISE = 'This is not of the form that the interface description gives.'

/**
 * What Fastify refuses because a header or a parameter of the address is not as the schema of its route has
 * it, with its place (R4 2.44.5); undefined for any other error.
 */
export function schemaRefusal({
  validation,
  validationContext,
}: Pick<FastifyError, 'validation' | 'validationContext'>): AppError | undefined {
  const isHeader = validationContext === 'headers'
  if (validation === undefined || (!isHeader && validationContext !== 'querystring'))
    return undefined
  const faults = validation.map(({ instancePath, keyword }): Fault => {
    const name = instancePath.split('/')[1] ?? ''
    return {
      severity: 'error',
      code: 'value',
      expression: `http.${isHeader ? `"${headerName(name)}"` : name}`,
      rule: 'request',
      text: WORDS[keyword] ?? OTHERWISE,
    }
  })
  return new AppError('invalid-request', 'The request cannot be read.', faults)
}

export const headerName = (name: string): string =>
  name.replaceAll(/(?:^|-)[a-z]/g, (start) => start.toUpperCase())
