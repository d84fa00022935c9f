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
