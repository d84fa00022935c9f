import { CANONICAL } from '../codes.ts'

/** The day that what is published here was last changed. */
export const PUBLISHED_ON = '2026-11-25'

export const CAUTION =
  'Decision support for a qualified professional, not a diagnosis; local rules and licensed practice go first.'

/** What every conformance resource of ours says of itself. */
export const publication = (type: string, id: string, version: string) => ({
  id,
  url: `${CANONICAL}/${type}/${id}`,
  version,
  status: 'active' as const,
  experimental: false,
  date: PUBLISHED_ON,
  publisher: 'Footing',
})

/** `fit-check` as a name that a machine can use, `FitCheck`. */
export const machineName = (id: string): string =>
  id
    .split('-')
    .map((word) => word.charAt(0).toUpperCase() + word.slice(1))
    .join('')
