import { describe, expect, test } from 'vitest'

import { observation, patient, rulesOf } from '../helpers/told-rules.ts'

// Required bindings to value sets that are too large to be listed, or that no package lists.

const binary = (contentType: string) => rulesOf({ resourceType: 'Binary', contentType })
const inLanguage = (language: string) => rulesOf(patient({ language }))
const money = (currency: string) =>
  rulesOf(
    patient({
      extension: [{ url: 'https://a.example/fee', valueMoney: { value: 1, currency } }],
    }),
  )

describe('a media type is type/subtype, with parameters (binding to BCP 13; RFC 6838 4.2, RFC 2045 5.1)', () => {
  test.each([
    'text/plain',
    'application/fhir+json',
    'application/vnd.openxmlformats-officedocument.wordprocessingml.document',
    'image/svg+xml',
    'text/plain; charset=UTF-8',
    'text/plain;charset=utf-8;format=flowed',
    'multipart/mixed; boundary="a b; c"',
    'application/fhir+json; fhirVersion=4.0',
  ])('%s', (type) => {
    expect(binary(type)).toEqual([])
  })

  test.each([
    'pdf',
    'application',
    'application/',
    '/pdf',
    'a/b/c',
    'text/plain;',
    'text/plain; charset',
    '*/*',
    'image/*',
    '.a/b',
    `a/${'b'.repeat(128)}`,
  ])('%s is none', (type) => {
    expect(binary(type)).toEqual(['code at Binary.contentType'])
  })

  test('wherever one is bound', () => {
    const attachment = { contentType: 'jpeg', data: 'AAAA' }

    expect(rulesOf(patient({ photo: [attachment] }))).toEqual([
      'code at Patient.photo[0].contentType',
    ])
    expect(
      rulesOf({
        resourceType: 'Endpoint',
        status: 'active',
        connectionType: { code: 'hl7-fhir-rest' },
        payloadType: [{ text: 'any' }],
        address: 'https://a.example/fhir',
        payloadMimeType: ['application/fhir+json', 'json'],
      }),
    ).toEqual(['code at Endpoint.payloadMimeType[1]'])
  })

  test('a value that is no code at all is told as that', () => {
    expect(binary('')).toEqual(['empty at Binary.contentType'])
    expect(rulesOf({ resourceType: 'Binary', contentType: 1 })).toEqual([
      'primitive.code at Binary.contentType',
    ])
  })
})

describe('a language is a tag of BCP 47 (preferred binding, limited to all languages; RFC 5646 2.1)', () => {
  test.each([
    'de',
    'en-US',
    'es-419',
    'zh-Hant-TW',
    'sl-rozaj-biske-1994',
    'de-CH-1901',
    'en-a-bbb-x-a-ccc',
    'x-own',
    'i-klingon',
    'EN',
  ])('%s', (language) => {
    expect(inLanguage(language)).toEqual([])
  })

  test.each(['d', 'de_DE', 'English language', 'de-', 'a-DE', '123', 'toolongtag', 'en-x'])(
    '%s is none',
    (language) => {
      expect(inLanguage(language)).toEqual(['code at Patient.language'])
    },
  )
})

describe('a currency is a code of ISO 4217 (valueset-currencies.html)', () => {
  test.each(['USD', 'EUR', 'CHF', 'MXN', 'JPY', 'XXX'])('%s', (code) => {
    expect(money(code)).toEqual([])
  })

  test.each(['EURO', 'usd', 'ABC', '$'])('%s is none', (code) => {
    expect(money(code)).toEqual(['code at Patient.extension[0].value.currency'])
  })
})

test('the confidentiality of a Composition is one of the six of its value set (v3-ConfidentialityClassification)', () => {
  const composition = (confidentiality: string) =>
    rulesOf({
      resourceType: 'Composition',
      status: 'final',
      type: { text: 'a' },
      date: '2026-01-02',
      author: [{ display: 'a' }],
      title: 'a',
      confidentiality,
    })

  expect(composition('R')).toEqual([])
  expect(composition('PSY')).toEqual(['code at Composition.confidentiality'])
})

test('a language with an extension in its place is taken (R4 2.6.2.1)', () => {
  const extension = [{ url: 'https://a.example/x', valueCode: 'y' }]

  expect(rulesOf(observation({ _language: { extension } }))).toEqual([])
})
