import type { Dice } from './any-request.ts'
import { mutatedJson, placesIn } from './mutated-json.ts'
import { RAW } from './raw-json.ts'

const ODD_POINTERS: readonly string[] = [
  '',
  '/',
  'a',
  '/__proto__/polluted',
  '/constructor/prototype/polluted',
  '/resourceType',
  '/id',
  '/meta/versionId',
  '/identifier/00',
  '/identifier/-1',
  '/identifier/1e0',
  '/identifier/99999999999',
  '/~',
  '/~01',
  '/\u0000',
  '/a'.repeat(2_000),
]

const ODD_FHIRPATHS: readonly string[] = [
  'Patient.name.repeat(name)',
  'Patient.descendants()',
  'Patient.name.where(given.matches("(a+)+$"))',
  '%resource',
  '%x',
  '$this',
  '1/0',
  'Patient.name[99999999999]',
  "Patient.name.where(family='a'",
  'Patient.extension("a").value',
  'now()',
  "Patient.id.replaceMatches('(a|a)*b', 'x')",
  '(1 | 2 | 3).aggregate($this + $total, 0)',
  'Patient.'.repeat(500),
  '('.repeat(2_000),
  '',
]

/** A JSON Patch of a resource like this one. */
export function mutatedJsonPatch(text: string, dice: Dice): string {
  const places = placesIn(text)
  const pointer = (): string =>
    JSON.stringify(
      dice.chance(6)
        ? dice.of(ODD_POINTERS)
        : dice.of(places).pointer + dice.of(['', '', '', '/-', '/0', '/x', '~2']),
    )
  const value = (): string => {
    const place = dice.of(places)
    return dice.chance(2) ? dice.of(RAW) : text.slice(place.from, place.to)
  }
  const ops = Array.from({ length: 1 + dice.below(3) }, () => {
    const op = dice.of(['add', 'remove', 'replace', 'move', 'copy', 'test'])
    return `{"op":"${op}","path":${pointer()},"from":${pointer()},"value":${value()}}`
  })
  // A copy of the whole into itself, again and again, doubles it each time.
  const doubling = '{"op":"copy","from":"","path":"/extension"},'.repeat(40)
  const body = `[${dice.chance(40) ? doubling : ''}${ops.join(',')}]`
  return dice.chance(4) ? mutatedJson(body, dice) : body
}

/** A FHIRPath Patch of a resource like this one. */
export function mutatedFhirPathPatch(type: string, text: string, dice: Dice): string {
  const names = placesIn(text).flatMap(({ name }) => name ?? [])
  const path = dice.chance(4)
    ? dice.of(ODD_FHIRPATHS)
    : `${type}.${JSON.parse(dice.of(names.map((name) => `"${name}"`)))}`
  const part = (name: string, value: string) => `{"name":"${name}",${value}}`
  const parts = [
    part('type', `"valueCode":"${dice.of(['add', 'insert', 'delete', 'replace', 'move', 'x'])}"`),
    part('path', `"valueString":${JSON.stringify(path)}`),
    part('name', `"valueString":${JSON.stringify(dice.of(names))}`),
    part(
      'value',
      dice.of([
        '"valueString":"a"',
        '"valueBoolean":true',
        '"valueDecimal":1e400',
        '"valueHumanName":{"family":"a"}',
        '"part":[{"name":"code","valueCode":"a"}]',
        '"part":[{"name":"__proto__","valueString":"a"}]',
      ]),
    ),
    part('index', `"valueInteger":${dice.of(['0', '1', '-1', '99999999999', '1e9'])}`),
    part('source', '"valueInteger":0'),
    part('destination', '"valueInteger":1'),
  ].filter(() => !dice.chance(8))
  const body = `{"resourceType":"Parameters","parameter":[{"name":"operation","part":[${parts.join(',')}]}]}`
  return dice.chance(3) ? mutatedJson(body, dice) : body
}
