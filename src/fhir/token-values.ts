import { comparedCode } from './code-case.ts'
import { isList, isObject, type JsonObject } from './element.ts'
import type { Atom } from './r4/search-line.ts'
import { ofTypePath, type StringValue, textPath, type TokenValue } from './search-index.ts'
import type { Add } from './search-rows.ts'
import { folded, indexed } from './search-text.ts'

const NO_LIST: readonly unknown[] = []
const listOf = (value: unknown): readonly unknown[] => (isList(value) ? value : NO_LIST)

const textOf = (value: unknown): string => (typeof value === 'string' ? value : '')

function add(into: TokenValue[], path: string, system: unknown, code: unknown): void {
  const [ofSystem, ofCode] = [textOf(system), textOf(code)]
  // A coding of which only the system is known is found by its system.
  if (ofSystem === '' && ofCode === '') return
  into.push({ path, system: indexed(ofSystem), code: indexed(ofCode) })
}

/** A code is compared as its system has it. */
function addCode(into: TokenValue[], path: string, system: unknown, code: unknown): void {
  const [ofSystem, ofCode] = [textOf(system), textOf(code)]
  if (ofSystem === '' && ofCode === '') return
  into.push({ path, system: indexed(ofSystem), code: comparedCode(ofSystem, ofCode) })
}

/** Adds the tokens that one value stands for. */
export function addTokens(
  into: TokenValue[],
  { path, type }: Pick<Atom, 'path' | 'type'>,
  value: unknown,
): void {
  if (type === 'exists') add(into, path, '', 'true')
  else if (typeof value === 'boolean') add(into, path, '', String(value))
  else if (typeof value === 'string') add(into, path, '', value)
  else if (isObject(value)) addOfObject(into, { path, type }, value)
}

function addOfObject(
  into: TokenValue[],
  { path, type }: Pick<Atom, 'path' | 'type'>,
  value: JsonObject,
): void {
  switch (type) {
    case 'CodeableConcept':
      for (const coding of listOf(value['coding']))
        if (isObject(coding)) addCode(into, path, coding['system'], coding['code'])
      break
    case 'Identifier':
      add(into, path, value['system'], value['value'])
      break
    // A telephone number has no system of codes (R4 3.1.1.4.10).
    case 'ContactPoint':
      addCode(into, path, '', value['value'])
      break
    case 'Coding':
      addCode(into, path, value['system'], value['code'])
  }
}

/** For `:of-type`: the type of an identifier and its value. */
function addTypedIdentifier(into: TokenValue[], path: string, identifier: JsonObject): void {
  const type = identifier['type']
  const value = textOf(identifier['value'])
  if (!isObject(type) || value === '') return
  for (const coding of listOf(type['coding']))
    if (isObject(coding))
      into.push({
        path,
        system: indexed(`${textOf(coding['system'])}|${textOf(coding['code'])}`),
        code: indexed(value),
      })
}

function addText(into: StringValue[], path: string, value: unknown): void {
  const text = textOf(value)
  if (text !== '') into.push({ path, value: folded(text), exact: indexed(text) })
}

/** Of a token parameter's place: the tokens, and for `:text` what they say to people. */
export function tokenAdder(atom: Atom): Add {
  const { type } = atom
  const [forText, forType] = [textPath(atom.path), ofTypePath(atom.path)]
  return ({ tokens, strings }, value) => {
    addTokens(tokens, atom, value)
    if (!isObject(value)) return
    switch (type) {
      case 'CodeableConcept':
        addText(strings, forText, value['text'])
        for (const coding of listOf(value['coding']))
          if (isObject(coding)) addText(strings, forText, coding['display'])
        break
      case 'Coding':
        addText(strings, forText, value['display'])
        break
      case 'Identifier':
        addTypedIdentifier(tokens, forType, value)
        if (isObject(value['type'])) addText(strings, forText, value['type']['text'])
    }
  }
}
