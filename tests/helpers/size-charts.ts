import type { SizeChart } from '../../src/domain/device/sizing.ts'
import { sizeChartDefinitions } from './size-chart-definitions.ts'
import type { Json } from './referral.ts'

/** Where the entry of the line is in the Bundle, and the reference of its sizes. */
export const LINE = 'urn:uuid:5e1f0000-0000-4000-8000-000000000000'

const entryOf = (resource: object, fullUrl: string): Json => ({
  fullUrl,
  resource: JSON.parse(JSON.stringify(resource)) as Json,
  request: { method: 'POST', url: 'DeviceDefinition' },
})

/** The transaction that sends a chart; the line is its first entry. */
export function chartBundle(chart: SizeChart): { readonly entry: Json[] } & Json {
  const { line, sizes } = sizeChartDefinitions(chart, LINE)
  return {
    resourceType: 'Bundle',
    type: 'transaction',
    entry: [
      entryOf(line, LINE),
      ...sizes.map((size, index) =>
        entryOf(size, `urn:uuid:5e1f0000-0000-4000-8000-${String(index + 1).padStart(12, '0')}`),
      ),
    ],
  }
}
