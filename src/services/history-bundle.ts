import type { StoredVersion } from '../storage/resources.ts'

export interface HistorySet {
  readonly baseUrl: string
  /** The instant whose history it is. */
  readonly until: string
  readonly self: string
  readonly next: string | undefined
  readonly total: number | undefined
  readonly found: readonly StoredVersion[]
}

/** A history Bundle of versions as they are kept; their text goes out unchanged. */
export function historyBundle({ baseUrl, until, self, next, total, found }: HistorySet): string {
  const links = [
    { relation: 'self', url: self },
    ...(next === undefined ? [] : [{ relation: 'next', url: next }]),
  ]
  const entries = found.map((version) => entryOf(baseUrl, version))
  return (
    [
      `{"resourceType":"Bundle","meta":{"lastUpdated":"${until}"},"type":"history"`,
      ...(total === undefined ? [] : [`"total":${total}`]),
      `"link":${JSON.stringify(links)}`,
      // FHIR knows no empty lists.
      ...(entries.length === 0 ? [] : [`"entry":[${entries.join(',')}]`]),
    ].join(',') + '}'
  )
}

function entryOf(baseUrl: string, found: StoredVersion): string {
  const { type, id, version, updatedAt, body, deleted } = found
  const fullUrl = JSON.stringify(`${baseUrl}/${type}/${id}`)
  const request = JSON.stringify(requestOf(found))
  const response = JSON.stringify({
    status: statusOf(found),
    etag: `W/"${version}"`,
    lastModified: updatedAt,
  })
  const resource = deleted ? '' : `"resource":${body},`
  return `{"fullUrl":${fullUrl},${resource}"request":${request},"response":${response}}`
}

function requestOf({ type, id, version, deleted }: StoredVersion) {
  if (deleted) return { method: 'DELETE', url: `${type}/${id}` }
  return version === 1 ? { method: 'POST', url: type } : { method: 'PUT', url: `${type}/${id}` }
}

function statusOf({ version, deleted }: StoredVersion): string {
  if (deleted) return '204 No Content'
  return version === 1 ? '201 Created' : '200 OK'
}
