// Headers of a request, right and wrong.

export const ODD_TYPES: readonly string[] = [
  '',
  'x',
  '/',
  'application/fhir+xml',
  'application/json; charset=utf-16',
  'application/fhir+json; fhirVersion=5.0',
  'application/fhir+json;;;=',
  'multipart/form-data; boundary=a',
  'application/json-patch+json',
  'application/fhir+json',
  'application/x-www-form-urlencoded',
]

export const ODD_HEADERS: readonly (readonly [string, readonly string[]])[] = [
  ['if-match', ['W/"1"', 'W/"2"', '"1"', '*', '1', 'W/"1", W/"2"', 'W/"-1"', '\u00e9']],
  ['if-none-match', ['W/"1"', '*', '"', '']],
  ['if-modified-since', ['Wed, 21 Oct 2099 07:28:00 GMT', '0', 'Thu, 01 Jan 1970 00:00:00 GMT']],
  ['if-none-exist', ['identifier=a|b', '_id=%00', '%', '_count=0', 'a=b', '?identifier=a']],
  [
    'prefer',
    ['return=minimal', 'return=OperationOutcome', 'handling=strict', 'respond-async', ';'],
  ],
  ['accept', ['application/fhir+json', 'application/fhir+xml', '*/*;q=0', 'a', 'text/json']],
  ['idempotency-key', ['a', 'b', 'x'.repeat(256)]],
  ['accept-language', ['de', 'x', '*;q=0', '-']],
  ['x-request-id', ['a', '\u0001', 'x'.repeat(300)]],
]
