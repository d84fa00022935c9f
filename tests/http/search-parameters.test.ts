import { beforeAll, describe, expect, test } from 'vitest'
import type { Json } from '../helpers/referral.ts'
import { observationOf, patientOf, type Searcher, searcher } from '../helpers/searches.ts'
import { BASE, type TestService, testService } from '../helpers/service.ts'

// Expected results follow search.html of R4 4.0.1; its section stands beside each group.

let service: TestService

beforeAll(async () => {
  service = await testService()
  return service.close
})

/** A clinic of its own, and the ids of what is created there by name. */
async function filled(resources: Readonly<Record<string, Json>>) {
  const { staff } = await service.clinic()
  const as = searcher(service, staff)
  const names = new Map<string, string>()
  for (const [name, one] of Object.entries(resources)) names.set(await as.create(one), name)
  /** The names of what is found, sorted. */
  const named = async (query: string) =>
    (await as.ids(query)).map((id) => names.get(id) ?? id).toSorted()
  const idOf = (name: string) => [...names].find(([, one]) => one === name)?.[0] ?? ''
  return { as, named, idOf, staff }
}

const coded = (system: string, code: string, more: Json = {}): Json => ({
  coding: [{ system, code, ...more }],
})

test('a double family name is found by each part, and sorted and found exactly as a whole (3.1.1.4.8)', async () => {
  const named = (family: string) => patientOf({ name: [{ family, given: ['Ada'] }] })
  const {
    as,
    named: found,
    idOf,
  } = await filled({
    double: named('Smith-Jones'),
    spaced: named('de la Łuck'),
    plain: named('Miller'),
  })
  const about = { subject: { reference: `Patient/${idOf('double')}` } }
  const observation = await as.create(observationOf(about))

  expect(await found('Patient?family=jones')).toEqual(['double'])
  expect(await found('Patient?family=JON,luck')).toEqual(['double', 'spaced'])
  expect(await found('Patient?name=jones')).toEqual(['double'])
  expect(await found('Patient?family=la luck')).toEqual(['spaced'])
  expect(await found('Patient?family=ones')).toEqual([])
  expect(await found('Patient?family:exact=Jones')).toEqual([])
  expect(await found('Patient?family:exact=Smith-Jones')).toEqual(['double'])
  expect(await found('Patient?family:contains=th-jo')).toEqual(['double'])
  expect(await found('Patient?family:missing=false')).toEqual(['double', 'plain', 'spaced'])
  expect(await as.ids('Observation?patient.family=jones')).toEqual([observation])
  // By the first part: `Jones` would come before `Miller`.
  const order = ['spaced', 'plain', 'double'].map(idOf)
  expect(await as.ids('Patient?_sort=family')).toEqual(order)
  expect(await as.ids('Patient?_sort=-family')).toEqual(order.toReversed())
})

describe('modifiers of tokens, 3.1.1.4.10', () => {
  test(':not finds what has no such code, also what has none at all', async () => {
    const { named } = await filled({
      a: observationOf({ category: [coded('http://a.example/cs', 'x')] }),
      b: observationOf({ category: [coded('http://a.example/cs', 'y')] }),
      both: observationOf({
        category: [coded('http://a.example/cs', 'x'), coded('http://a.example/cs', 'y')],
      }),
      none: observationOf(),
    })

    expect(await named('Observation?category:not=x')).toEqual(['b', 'none'])
    expect(await named('Observation?category:not=x,y')).toEqual(['none'])
    expect(await named('Observation?status:not=final')).toEqual([])
    expect(await named('Observation?status:not=amended')).toEqual(['a', 'b', 'both', 'none'])
  })

  test(':text finds by what people read, from its beginning', async () => {
    const { named } = await filled({
      text: observationOf({ code: { text: 'Toe walking' } }),
      display: observationOf({ code: coded('http://a.example/cs', 'x', { display: 'Toe gait' }) }),
      other: observationOf({ code: { text: 'On tip toe' } }),
    })

    expect(await named('Observation?code:text=TOE')).toEqual(['display', 'text'])
    expect(await named('Observation?code:text=toe w')).toEqual(['text'])
  })

  test(':of-type finds an identifier by its type and value', async () => {
    const typed = (code: string, value: string): Json => ({
      type: coded('http://a.example/types', code),
      system: 'http://a.example/ids',
      value,
    })
    const { named } = await filled({
      wanted: observationOf({ identifier: [typed('MR', '7')] }),
      other: observationOf({ identifier: [typed('MR', '8'), typed('SS', '7')] }),
    })

    expect(await named('Observation?identifier:of-type=http://a.example/types|MR|7')).toEqual([
      'wanted',
    ])
    expect(await named('Observation?identifier:of-type=http://b.example/types|MR|7')).toEqual([])
  })

  test('a code or truth value is found with the implied system or none, with no other (3.1.1.4.10)', async () => {
    const { named, as } = await filled({
      yes: patientOf({ active: true, gender: 'female', address: [{ use: 'home' }] }),
      no: patientOf({ active: false, gender: 'male', deceasedBoolean: true }),
    })
    const observation = await as.create(observationOf())
    const both = ['no', 'yes']

    for (const [query, found] of [
      ['gender=http://hl7.org/fhir/administrative-gender|male', ['no']],
      ['gender=http://hl7.org/fhir/administrative-gender|', both],
      ['gender=|female', ['yes']],
      ['gender=urn:x|male', []],
      ['gender=urn:x|', []],
      ['gender=urn:x|male,female', ['yes']],
      ['gender:not=urn:x|male', both],
      ['gender:not=http://hl7.org/fhir/administrative-gender|male', ['yes']],
      ['address-use=http://hl7.org/fhir/address-use|home', ['yes']],
      ['address-use=urn:x|home', []],
      ['active=true', ['yes']],
      ['active=http://hl7.org/fhir/special-values|false', ['no']],
      ['active=http://terminology.hl7.org/CodeSystem/special-values|false', ['no']],
      ['active=http://a.example/cs|false', []],
      ['deceased=http://terminology.hl7.org/CodeSystem/special-values|true', ['no']],
      ['deceased=urn:x|true', []],
      ['deceased:not=urn:x|true', both],
      ['deceased:not=true', ['yes']],
    ] as const)
      expect(await named(`Patient?${query}`), query).toEqual(found)
    for (const [query, found] of [
      ['status=http://hl7.org/fhir/observation-status|final', [observation]],
      ['status=http://hl7.org/fhir/observation-status|', [observation]],
      ['status=urn:x|final', []],
      ['status:not=urn:x|final', [observation]],
    ] as const)
      expect(await as.ids(`Observation?${query}`), query).toEqual(found)
  })

  test('a condition with another system deletes nothing', async () => {
    const { as, staff } = await filled({})
    const observation = await as.create(observationOf())

    await service.send(staff, { method: 'DELETE', url: '/fhir/Observation?status=urn:x|final' })
    expect(await as.ids('Observation?status=final')).toEqual([observation])
  })

  test('who died is found by a truth value or by a date being there', async () => {
    const { named } = await filled({
      dated: patientOf({ deceasedDateTime: '2025-01-01' }),
      yes: patientOf({ deceasedBoolean: true }),
      no: patientOf({ deceasedBoolean: false }),
      unsaid: patientOf(),
    })

    expect(await named('Patient?deceased=true')).toEqual(['dated', 'yes'])
    expect(await named('Patient?deceased=false')).toEqual(['no', 'unsaid'])
    expect(await named('Patient?deceased=true,false')).toEqual(['dated', 'no', 'unsaid', 'yes'])
  })

  test('further codings are found like the first', async () => {
    const coding = [
      { system: 'http://a.example/cs', code: 'first' },
      { system: 'http://b.example/cs', code: 'second' },
    ]
    const { named } = await filled({ both: observationOf({ code: { coding } }) })

    for (const query of ['first', 'second', 'http://b.example/cs|second', 'x,second'])
      expect(await named(`Observation?code=${query}`), query).toEqual(['both'])
    expect(await named('Observation?code=first&code=second')).toEqual(['both'])
    expect(await named('Observation?code:not=second')).toEqual([])
    expect(await named('Observation?combo-code=second')).toEqual(['both'])
  })
})

describe(':missing, 3.1.1.4.4', () => {
  const PATIENT = patientOf()
  test.each<[string, Json, Json]>([
    ['status', observationOf(), observationOf()],
    ['category', observationOf({ category: [coded('s', 'c')] }), observationOf()],
    ['code', observationOf({ code: coded('http://a.example/s', 'c') }), observationOf()],
    ['date', observationOf({ effectiveDateTime: '2026-01-01' }), observationOf()],
    ['value-quantity', observationOf({ valueQuantity: { value: 1 } }), observationOf()],
    ['value-string', observationOf({ valueString: 'x' }), observationOf()],
    [
      'subject',
      observationOf({ subject: { reference: 'https://x.example/P/1' } }),
      observationOf(),
    ],
    ['subject', observationOf({ subject: { identifier: { value: '1' } } }), observationOf()],
    ['family', { ...PATIENT, name: [{ family: 'A' }] }, PATIENT],
    ['_tag', observationOf({ meta: { tag: [{ code: 'x' }] } }), observationOf()],
    ['_profile', observationOf({ meta: { profile: ['http://a.example/p'] } }), observationOf()],
  ])('%s', async (name, present, absent) => {
    const { named } = await filled({ present, absent })
    const type = String(present['resourceType'])
    const always = name === 'status' || name === 'code'

    const [missing, given] = [
      await named(`${type}?${name}:missing=true`),
      await named(`${type}?${name}:missing=false`),
    ]

    // A code of text alone is a code.
    expect(missing).toEqual(always ? [] : ['absent'])
    expect(given).toEqual(always ? ['absent', 'present'] : ['present'])
  })

  test('of an id or an instant nothing is missing', async () => {
    const { named } = await filled({ a: observationOf() })

    expect(await named('Observation?_id:missing=true')).toEqual([])
    expect(await named('Observation?_lastUpdated:missing=false')).toEqual(['a'])
  })
})

describe('what every resource has, 3.1.1.4.1', () => {
  test('_tag, _security, _profile and _source', async () => {
    const meta = {
      tag: [{ system: 'http://a.example/t', code: 'x' }],
      security: [{ system: 'http://a.example/s', code: 'R' }],
      profile: ['http://a.example/profiles/one|2.1'],
      source: 'http://a.example/systems/1',
    }
    const { named } = await filled({ a: observationOf({ meta }), b: observationOf() })

    for (const query of [
      '_tag=x',
      '_tag=http://a.example/t|x',
      '_security=R',
      '_profile=http://a.example/profiles/one',
      '_profile=http://a.example/profiles/one|2.1',
      '_profile:below=http://a.example/profiles',
      '_source=http://a.example/systems/1',
      '_source:above=http://a.example/systems/1/part',
    ])
      expect(await named(`Observation?${query}`), query).toEqual(['a'])
    for (const query of [
      '_profile=http://a.example/profiles/one|3',
      '_profile=http://a.example/profiles',
      '_profile:below=http://a.example/prof',
      '_source=http://a.example/systems',
      '_source:above=http://a.example/systems',
    ])
      expect(await named(`Observation?${query}`), query).toEqual([])
    expect(await named('Observation?_tag:not=x')).toEqual(['b'])
  })
})

describe('references, 3.1.1.4.12', () => {
  test(':identifier finds by what a reference names', async () => {
    const identifier = { system: 'http://a.example/ids', value: '7' }
    const { named } = await filled({
      a: observationOf({ subject: { identifier } }),
      b: observationOf(),
    })

    expect(await named('Observation?subject:identifier=http://a.example/ids|7')).toEqual(['a'])
    expect(await named('Observation?subject:identifier=8')).toEqual([])
  })

  test('an absolute URL elsewhere is found by itself alone', async () => {
    const reference = 'https://other.example/fhir/Patient/1'
    const { named } = await filled({ a: observationOf({ subject: { reference } }) })

    expect(await named(`Observation?subject=${reference}`)).toEqual(['a'])
    expect(await named('Observation?subject=Patient/1')).toEqual([])
    expect(await named('Observation?subject=1')).toEqual([])
  })

  test('a canonical is found with and without its version', async () => {
    const { named } = await filled({
      a: {
        resourceType: 'QuestionnaireResponse',
        status: 'completed',
        questionnaire: 'http://a.example/Questionnaire/q|1',
      },
    })
    const at = (value: string) => named(`QuestionnaireResponse?questionnaire=${value}`)

    expect(await at('http://a.example/Questionnaire/q')).toEqual(['a'])
    expect(await at('http://a.example/Questionnaire/q|1')).toEqual(['a'])
    expect(await at('http://a.example/Questionnaire/q|2')).toEqual([])
  })

  test('a subject is found by its bare id, whatever its type', async () => {
    const { as, staff } = await filled({})
    const child = await as.create(patientOf())
    const group = await as.create({ resourceType: 'Group', type: 'person', actual: true })
    const own = searcher(service, staff)
    const ofChild = await own.create(observationOf({ subject: { reference: `Patient/${child}` } }))
    const ofGroup = await own.create(observationOf({ subject: { reference: `Group/${group}` } }))

    expect(await as.ids(`Observation?subject=${child}`)).toEqual([ofChild])
    expect(await as.ids(`Observation?subject=${group}`)).toEqual([ofGroup])
    expect((await as.ids(`Observation?subject=${group},Patient/${child}`)).toSorted()).toEqual(
      [ofChild, ofGroup].toSorted(),
    )
    expect(await as.ids(`Observation?subject:Group=${group}`)).toEqual([ofGroup])
    expect(await as.ids(`Observation?subject:Patient=${group}`)).toEqual([])
    expect(await as.ids(`Observation?patient=${group}`)).toEqual([])
  })
})

describe('numbers and quantities, 3.1.1.4.5, .6 and .11', () => {
  const valued = (value: Json): Json => observationOf({ valueQuantity: value })

  test('prefixes compare, whatever the precision', async () => {
    const { named } = await filled({ five: valued({ value: 5 }), six: valued({ value: 6.0 }) })
    const at = (value: string) => named(`Observation?value-quantity=${value}`)

    expect(await at('gt5')).toEqual(['six'])
    expect(await at('ge5')).toEqual(['five', 'six'])
    expect(await at('lt6')).toEqual(['five'])
    expect(await at('le6')).toEqual(['five', 'six'])
    expect(await at('sa5')).toEqual(['six'])
    expect(await at('eb6')).toEqual(['five'])
    expect(await at('ne5')).toEqual(['six'])
    expect(await at('ap5.4')).toEqual(['five'])
    expect(await at('-5')).toEqual([])
  })

  test('a value with a comparator is open at one end', async () => {
    const { named } = await filled({ below: valued({ value: 5, comparator: '<' }) })
    const at = (value: string) => named(`Observation?value-quantity=${value}`)

    expect(await at('lt3')).toEqual(['below'])
    expect(await at('gt5')).toEqual([])
    expect(await at('5')).toEqual([])
    expect(await at('eb6')).toEqual(['below'])
  })

  test('decimals that JavaScript cannot tell apart are told apart', async () => {
    const { staff } = await service.clinic()
    const as = searcher(service, staff)
    const send = async (digits: string) => {
      const body = JSON.stringify(valued({ value: 0 })).replace('"value":0', `"value":${digits}`)
      const answer = await service.send(staff, { method: 'POST', url: '/fhir/Observation', body })
      expect(answer.status, answer.text).toBe(201)
    }
    await send('1.00000000000000000001')
    await send('1.00000000000000000003')

    expect(await as.ids('Observation?value-quantity=gt1.00000000000000000002')).toHaveLength(1)
    expect(await as.ids('Observation?value-quantity=lt1.00000000000000000002')).toHaveLength(1)
  })

  test.each(['1e-310', '9e300', '9e307', '-9e307'])('%s is kept and found', async (digits) => {
    const { staff } = await service.clinic()
    const as = searcher(service, staff)
    const body = JSON.stringify(valued({ value: 0 })).replace('"value":0', `"value":${digits}`)
    const answer = await service.send(staff, { method: 'POST', url: '/fhir/Observation', body })

    expect(answer.status, answer.text).toBe(201)
    expect(await as.ids(`Observation?value-quantity=${digits}`)).toHaveLength(1)
    expect(await as.ids(`Observation?value-quantity=ne${digits}`)).toHaveLength(0)
  })
})

describe('composites, 3.1.1.4.17', () => {
  const component = (code: string, value: number): Json => ({
    code: coded('http://a.example/cs', code),
    valueQuantity: { value, unit: 'mm', system: 'http://unitsofmeasure.org', code: 'mm' },
  })
  const set = () =>
    filled({
      itself: observationOf({
        code: coded('http://a.example/cs', 'len'),
        valueQuantity: { value: 120, system: 'http://unitsofmeasure.org', code: 'mm' },
      }),
      parts: observationOf({ component: [component('len', 120), component('wid', 50)] }),
      crossed: observationOf({ component: [component('len', 50), component('wid', 120)] }),
    })

  test('both halves hold of the resource itself', async () => {
    const { named } = await set()

    expect(await named('Observation?code-value-quantity=len$gt100')).toEqual(['itself'])
    expect(await named('Observation?code-value-quantity=len$gt200')).toEqual([])
    expect(await named('Observation?code-value-quantity=wid$gt100')).toEqual([])
  })

  test('both halves hold of the same component', async () => {
    const { named } = await set()
    const at = (value: string) =>
      named(`Observation?component-code-value-quantity=${encodeURIComponent(value)}`)

    expect(await at('http://a.example/cs|len$120')).toEqual(['parts'])
    expect(await at('len$gt100|http://unitsofmeasure.org|mm')).toEqual(['parts'])
    expect(await at('len$gt100|http://unitsofmeasure.org|cm')).toEqual([])
    expect(await at('wid$gt100')).toEqual(['crossed'])
    expect(await at('wid$gt200,len$lt60')).toEqual(['crossed'])
  })

  test('combo finds either', async () => {
    const { named } = await set()

    expect(await named('Observation?combo-code-value-quantity=len$gt100')).toEqual([
      'itself',
      'parts',
    ])
  })

  test.each(['len', 'len$', '$1', 'len$1$2', 'len$x', 'len$1|2'])(
    '%s is refused',
    async (value) => {
      const { as } = await filled({})
      const answer = await as.find(`Observation?code-value-quantity=${encodeURIComponent(value)}`)

      expect(answer.status).toBe(400)
    },
  )
})

describe('chains and _has, 3.1.1.4.15 and .16', () => {
  let as: Searcher
  const made: Record<string, string> = {}
  const of = (name: string) => made[name] ?? ''

  beforeAll(async () => {
    as = searcher(service, (await service.clinic()).staff)
    made['doctor'] = await as.create({
      resourceType: 'Practitioner',
      identifier: [{ system: 'http://a.example/p', value: '1' }],
      name: [{ family: 'Beispiel' }],
    })
    made['ann'] = await as.create(
      patientOf({
        name: [{ family: 'Alpha' }],
        generalPractitioner: [{ reference: `Practitioner/${of('doctor')}` }],
      }),
    )
    made['bob'] = await as.create(patientOf({ name: [{ family: 'Beta' }] }))
    const about = (name: string, more: Json = {}) =>
      observationOf({ subject: { reference: `Patient/${of(name)}` }, ...more })
    made['first'] = await as.create(about('ann', { code: coded('http://a.example/cs', 'x') }))
    made['second'] = await as.create(
      about('ann', { derivedFrom: [{ reference: `Observation/${of('first')}` }] }),
    )
    made['third'] = await as.create(about('bob', { code: coded('http://a.example/cs', 'y') }))
  })
  const names = async (query: string) => {
    const found = await as.ids(query)
    return found
      .map((id) => Object.entries(made).find(([, one]) => one === id)?.[0] ?? id)
      .toSorted()
  }

  test.each([
    ['Observation?patient.family=alpha', ['first', 'second']],
    ['Observation?subject:Patient.family=alpha', ['first', 'second']],
    ['Observation?subject.family:exact=Beta', ['third']],
    ['Observation?patient.family=nobody', []],
    ['Observation?patient.general-practitioner:Practitioner.family=beispiel', ['first', 'second']],
    [
      'Observation?patient.general-practitioner.identifier=http://a.example/p|1',
      ['first', 'second'],
    ],
    ['Observation?derived-from:Observation.code=x', ['second']],
    ['Observation?derived-from:Observation.patient.family=alpha', ['second']],
    ['Observation?derived-from:Observation.patient.family=beta', []],
    ['Observation?patient.family=alpha&patient.family=beta', []],
    ['Observation?patient._id=nobody', []],
    ['Patient?_has:Observation:patient:code=x', ['ann']],
    ['Patient?_has:Observation:patient:code=y', ['bob']],
    ['Patient?_has:Observation:patient:code=z', []],
    ['Patient?_has:Observation:patient:code=x&_has:Observation:patient:code=y', []],
    ['Observation?_has:Observation:derived-from:status=final', ['first']],
    ['Observation?_has:Observation:derived-from:patient.family=alpha', ['first']],
    ['Practitioner?_has:Patient:general-practitioner:family=alpha', ['doctor']],
    ['Practitioner?_has:Patient:general-practitioner:_has:Observation:patient:code=x', ['doctor']],
    ['Practitioner?_has:Patient:general-practitioner:_has:Observation:patient:code=y', []],
    ['Patient?general-practitioner:Practitioner.family=beispiel', ['ann']],
  ])('%s finds %j', async (query, expected) => {
    expect(await names(query)).toEqual(expected)
  })

  test('what was deleted is not looked into', async () => {
    const own = searcher(service, (await service.clinic()).staff)
    const child = await own.create(patientOf({ name: [{ family: 'Alpha' }] }))
    const seen = await own.create(observationOf({ subject: { reference: `Patient/${child}` } }))

    expect(await own.ids(`Patient?_has:Observation:patient:_id=${seen}`)).toEqual([child])
    expect(await own.ids('Observation?patient.family=alpha')).toEqual([seen])
  })
})

test('a search answers with its base', async () => {
  const { as } = await filled({ a: observationOf() })

  expect((await as.find('Observation')).text).toContain(`${BASE}/Observation/`)
})

describe('the case of codes, 3.1.1.4.10', () => {
  test('it does not count where nobody knows whether it does', async () => {
    const { named } = await filled({
      upper: observationOf({ code: coded('http://a.example/cs', 'Ab') }),
      lower: observationOf({ code: coded('http://a.example/cs', 'ab') }),
      second: observationOf({
        code: { coding: [{ code: 'x' }, { system: 'http://a.example/cs', code: 'AB' }] },
      }),
      known: observationOf({ code: coded('http://hl7.org/fhir/observation-status', 'Ab') }),
    })

    expect(await named('Observation?code=http://a.example/cs|AB')).toEqual([
      'lower',
      'second',
      'upper',
    ])
    expect(await named('Observation?code=aB')).toEqual(['lower', 'second', 'upper'])
    expect(await named('Observation?code=Ab')).toEqual(['known', 'lower', 'second', 'upper'])
    expect(await named('Observation?code:not=AB')).toEqual(['known'])
  })

  test('an identifier in other letters is another one', async () => {
    const { named } = await filled({
      wanted: observationOf({ identifier: [{ system: 'http://a.example/ids', value: 'Ab' }] }),
    })

    expect(await named('Observation?identifier=http://a.example/ids|Ab')).toEqual(['wanted'])
    expect(await named('Observation?identifier=http://a.example/ids|AB')).toEqual([])
  })
})

describe('a bare id of a reference that may lead to several types, 3.1.1.4.12', () => {
  /** Ids are given here, each to one resource; data that was brought in another way may repeat them. */
  const repeat = (id: string, type: string) =>
    service.sql(
      `insert into resources (clinic_id, type, id, version, deleted, body, updated_at, created_at)
       select clinic_id, $2, id, 1, false, '{}', updated_at, created_at from resources where id = $1`,
      [id, type],
    )

  test('is taken for the only resource that has it', async () => {
    const { as, idOf } = await filled({ child: patientOf(), other: patientOf() })
    const id = await as.create(
      observationOf({ subject: { reference: `Patient/${idOf('child')}` } }),
    )

    expect(await as.ids(`Observation?subject=${idOf('child')}`)).toEqual([id])
    expect(await as.ids(`Observation?subject=${idOf('other')}`)).toEqual([])
    expect(await as.ids('Observation?subject=nobody')).toEqual([])
  })

  test('is refused when two of these types have it, also in a chain and in a condition', async () => {
    const { as, idOf, staff } = await filled({ child: patientOf() })
    const twice = idOf('child')
    await repeat(twice, 'Location')
    const id = await as.create(observationOf({ subject: { reference: `Patient/${twice}` } }))

    for (const query of [
      `Observation?subject=${twice}`,
      `Observation?subject=nobody,${twice}`,
      `Observation?derived-from:Observation.subject=${twice}`,
    ]) {
      const answer = await as.find(query)
      expect(answer.status, query).toBe(400)
      expect(answer.text).toContain(`write it as Location/${twice}`)
    }
    const condition = await service.send(staff, {
      method: 'DELETE',
      url: `/fhir/Observation?subject=${twice}`,
    })
    expect(condition.status).toBe(400)
    expect(await as.ids(`Observation?subject=Patient/${twice}`)).toEqual([id])
    expect(await as.ids(`Observation?subject:Location=${twice}`)).toEqual([])
    expect(await as.ids(`Observation?patient=${twice}`)).toEqual([id])
  })

  test('is taken where the other type cannot be meant', async () => {
    const { as, idOf } = await filled({ child: patientOf() })
    const twice = idOf('child')
    await repeat(twice, 'Organization')
    const id = await as.create(observationOf({ subject: { reference: `Patient/${twice}` } }))

    expect(await as.ids(`Observation?subject=${twice}`)).toEqual([id])
  })
})
