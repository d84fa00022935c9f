import { OWN_PARAMS } from '../own-search-params.ts'
import type { SearchParameter } from '../r4/types.ts'
import { CAUTION, machineName, publication } from './publication.ts'

/** Our own search parameters; those of R4 have their official definitions. */
export const searchParameters = (version: string): SearchParameter[] =>
  OWN_PARAMS.map(({ id, base, code, kind, description, expression }) => ({
    resourceType: 'SearchParameter',
    ...publication('SearchParameter', id, version),
    name: machineName(id),
    description: `${description} ${CAUTION}`,
    code,
    base: [base],
    type: kind === 'composite' ? 'special' : kind,
    ...(expression === undefined ? {} : { expression, xpathUsage: 'normal' }),
    multipleOr: true,
    multipleAnd: true,
  }))
