import { expect, test } from 'vitest'

import { parseText } from '../../src/fhir/json-body.ts'
import { validateResource } from '../../src/fhir/validate.ts'

/** Bodies as raw text, from json.html 2.6.2 of R4 4.0.1 and RFC 8259: what is refused, and by which rule. */
const REFUSED: [why: string, body: string, fault: string][] = [
  [
    'a property given twice',
    '{"resourceType":"Patient","active":true,"active":false}',
    'json.duplicate at Patient.active',
  ],
  ['a null property', '{"resourceType":"Patient","active":null}', 'null at Patient.active'],
  ['an empty array', '{"resourceType":"Patient","name":[]}', 'empty at Patient.name'],
  ['an empty object', '{"resourceType":"Patient","name":[{}]}', 'empty at Patient.name[0]'],
  [
    'an empty string',
    '{"resourceType":"Patient","name":[{"family":""}]}',
    'empty at Patient.name[0].family',
  ],
  ['a comment', '{"resourceType":"Patient" /* x */}', 'json.syntax at '],
  ['a trailing comma', '{"resourceType":"Patient",}', 'json.syntax at '],
  ['no resourceType', '{"active":true}', 'resource-type at Resource.resourceType'],
  ['an array at the top', '[{"resourceType":"Patient"}]', 'type at Resource'],
  [
    'a prototype key',
    '{"resourceType":"Patient","__proto__":{"active":true}}',
    'json.proto at Patient',
  ],
  [
    'NaN',
    '{"resourceType":"Observation","status":"final","code":{"text":"x"},"valueQuantity":{"value":NaN}}',
    'json.syntax at ',
  ],
  [
    'a lone surrogate',
    String.raw`{"resourceType":"Patient","name":[{"family":"\ud800"}]}`,
    'primitive.string at Patient.name[0].family',
  ],
  [
    'a NUL character',
    String.raw`{"resourceType":"Patient","name":[{"family":"a\u0000b"}]}`,
    'primitive.string at Patient.name[0].family',
  ],
  [
    'a property in the wrong case',
    '{"resourceType":"Patient","birthdate":"2022-05-01"}',
    'unknown-element at Patient.birthdate',
  ],
  [
    'a list of null without its twin',
    '{"resourceType":"Patient","name":[{"given":[null]}]}',
    'null at Patient.name[0].given[0]',
  ],
]

const ABSENT =
  '{"url":"http://hl7.org/fhir/StructureDefinition/data-absent-reason","valueCode":"unknown"}'

const ACCEPTED: [why: string, body: string][] = [
  ['resourceType at the end', '{"active":true,"resourceType":"Patient"}'],
  [
    '_birthDate without birthDate',
    `{"resourceType":"Patient","_birthDate":{"extension":[${ABSENT}]}}`,
  ],
  [
    'two lists with null where the other one has the value',
    '{"resourceType":"Patient","name":[{"given":["Au",null],"_given":[null,{"extension":[{"url":"http://example.org/x","valueString":"y"}]}]}]}',
  ],
  [
    'white space of Unicode inside a string',
    String.raw`{"resourceType":"Patient","name":[{"family":"van\u00a0Dijk"}]}`,
  ],
  [
    'a leap second',
    '{"resourceType":"Observation","status":"final","code":{"text":"x"},"issued":"2016-12-31T23:59:60Z"}',
  ],
]

function faultsOf(text: string): string[] {
  const body = parseText(text)
  const faults = body.ok ? validateResource(body.value) : body.faults
  return faults.map(({ rule, expression }) => `${rule} at ${expression}`)
}

for (const [why, body, fault] of REFUSED)
  test(`${why} is refused`, () => {
    expect(faultsOf(body)).toEqual([fault])
  })

for (const [why, body] of ACCEPTED)
  test(`${why} is accepted`, () => {
    expect(faultsOf(body)).toEqual([])
  })
