import type { Fault } from '../errors.ts'
import { profileFault } from './observation-profile.ts'
import type { DeviceDefinition } from './r4/types.ts'
import { readSizeChart } from './size-chart-reading.ts'
import type { CreateOperation } from './operations.ts'

type DefinitionEntry = CreateOperation & { readonly resource: DeviceDefinition }

const isDefinition = (entry: CreateOperation): entry is DefinitionEntry =>
  entry.resource.resourceType === 'DeviceDefinition'

const isLine = ({ resource }: DefinitionEntry): boolean => resource.parentDevice === undefined

/** The line of devices that is sent, with the chart's identifier and version. */
export const sizeChartLine = (entries: readonly CreateOperation[]): DefinitionEntry | undefined =>
  entries.filter(isDefinition).find(isLine)

/**
 * What keeps the DeviceDefinitions that are sent together from being one whole size chart: a chart is
 * taken as one, in a transaction Bundle of its own, or not at all. None sent, nothing wrong.
 */
export function sizeChartEntryFaults(entries: readonly CreateOperation[]): Fault[] {
  const definitions = entries.filter(isDefinition)
  if (definitions.length === 0) return []
  const lines = definitions.filter(isLine)
  const sizes = definitions.filter((entry) => !isLine(entry))
  const [line] = lines
  return [
    ...definitions.flatMap(conditionFault),
    ...entries
      .filter((entry) => !isDefinition(entry))
      .map(({ resourceAt }) =>
        setFault(resourceAt, 'A size chart is sent in a Bundle of its own.'),
      ),
    ...lines.slice(1).map(({ resourceAt }) => setFault(resourceAt, ONE_LINE)),
    ...sizes
      .filter((size) => line === undefined || !isBelow(size, line))
      .map(({ resourceAt }) => setFault(`${resourceAt}.parentDevice`, WITH_PARENT)),
    ...(line === undefined ? [] : readSizeChart(standing(line), sizes.map(standing)).faults),
  ]
}

const ONE_LINE =
  'One size chart is sent at a time: one DeviceDefinition without parentDevice, and its sizes.'
const WITH_PARENT =
  'The parentDevice of a size is the fullUrl of the chart’s own DeviceDefinition in the same Bundle. A chart that is kept is never added to: send it whole, as a new version.'

const setFault = (expression: string, text: string): Fault =>
  profileFault(expression, 'size-chart-set', text)

/** The condition would find an older version, and the chart would be half of each. */
const conditionFault = ({ ifNoneExist, conditionAt }: CreateOperation): Fault[] =>
  ifNoneExist === undefined
    ? []
    : [
        setFault(
          conditionAt,
          'A size chart is sent without conditions; an Idempotency-Key makes a retry safe, and a version that is kept is refused.',
        ),
      ]

/** Also beside a full URL that is an address (R4 2.36.4.1). */
function isBelow({ resource }: DefinitionEntry, { fullUrl }: DefinitionEntry): boolean {
  const reference = resource.parentDevice?.reference
  if (reference === undefined || fullUrl === undefined) return false
  return fullUrl === reference || (/^https?:/.test(fullUrl) && fullUrl.endsWith(`/${reference}`))
}

const standing = ({ resourceAt, resource }: DefinitionEntry) => ({ at: resourceAt, resource })
