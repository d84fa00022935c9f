import type { StoredVersion } from '../storage/resources.ts'

type Kept = Pick<StoredVersion, 'type' | 'id' | 'body'>

/** A collection Bundle of resources as they are kept; their text goes out unchanged. */
export const collectionOf = (baseUrl: string, kept: readonly Kept[]): string =>
  `{"resourceType":"Bundle","type":"collection","entry":[${kept
    .map(
      (one) =>
        `{"fullUrl":${JSON.stringify(`${baseUrl}/${one.type}/${one.id}`)},"resource":${one.body}}`,
    )
    .join(',')}]}`

export interface SearchSet {
  readonly baseUrl: string
  readonly self: string
  readonly next: string | undefined
  readonly total: number | undefined
  readonly found: readonly Kept[]
}

export function searchSetOf({ baseUrl, self, next, total, found }: SearchSet): string {
  const links = [
    { relation: 'self', url: self },
    ...(next === undefined ? [] : [{ relation: 'next', url: next }]),
  ]
  const entries = found.map(
    ({ type, id, body }) =>
      `{"fullUrl":${JSON.stringify(`${baseUrl}/${type}/${id}`)},"resource":${body},"search":{"mode":"match"}}`,
  )
  return (
    [
      '{"resourceType":"Bundle","type":"searchset"',
      ...(total === undefined ? [] : [`"total":${total}`]),
      `"link":${JSON.stringify(links)}`,
      ...(entries.length === 0 ? [] : [`"entry":[${entries.join(',')}]`]),
    ].join(',') + '}'
  )
}
