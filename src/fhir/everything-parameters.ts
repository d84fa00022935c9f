import { type AskedParameter, CURSOR, DAY, INSTANT, TEXT } from './asked-parameter.ts'
import { DEFAULT_PAGE, MAX_PAGE } from './search-asked.ts'

/** What Patient/$everything is asked, beside how the answer is written. */
export const EVERYTHING_PARAMETERS: readonly AskedParameter[] = [
  {
    name: 'start',
    description: 'Care from this day on; what has no date of care belongs to all of it.',
    value: DAY,
  },
  {
    name: 'end',
    description: 'Care to the end of this day; what has no date of care belongs to all of it.',
    value: DAY,
  },
  { name: '_since', description: 'Only what was changed after this instant.', value: INSTANT },
  {
    name: '_type',
    description:
      'The types that are answered, of the compartment and of what comes along with it; all that the token may read where none is named.',
    value: TEXT,
    several: 'commas',
  },
  {
    name: '_count',
    description: `How many resources a page holds, ${MAX_PAGE} at most, beside what comes along with them; with 0 only how many there are is answered.`,
    value: { type: 'integer', minimum: 0, default: DEFAULT_PAGE },
  },
  CURSOR,
]
