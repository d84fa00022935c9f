import { distinct, every, has, type Invariant, invariant } from './invariant.ts'

const ON = 'CapabilityStatement'

export const CAPABILITY_INVARIANTS: readonly Invariant[] = [
  invariant(
    ON,
    ['cpb-1', 'At least one of rest, messaging and document is needed'],
    ({ rest, messaging, document }) =>
      rest !== undefined || messaging !== undefined || document !== undefined,
  ),
  invariant(
    ON,
    ['cpb-2', 'At least one of description, software and implementation is needed'],
    (statement) =>
      has(statement, 'description') ||
      statement.software !== undefined ||
      statement.implementation !== undefined,
  ),
  invariant(
    ON,
    ['cpb-3', 'A messaging endpoint is for the kind instance only'],
    ({ messaging, kind }) =>
      kind === 'instance' || every(messaging, ({ endpoint }) => endpoint === undefined),
  ),
  invariant(ON, ['cpb-7', 'Documents differ in profile or mode'], ({ document }) =>
    distinct(document, ({ profile, mode }) => `${profile} ${mode}`),
  ),
  invariant(
    'CapabilityStatement.rest',
    ['cpb-9', 'A resource type is described once in a mode'],
    ({ resource }) => distinct(resource, ({ type }) => type),
  ),
  invariant(
    'CapabilityStatement.rest.resource',
    ['cpb-12', 'The name of a search parameter is given once for a resource type'],
    ({ searchParam }) => distinct(searchParam, ({ name }) => name),
  ),
  invariant(
    ON,
    ['cpb-14', 'The kind instance needs an implementation'],
    ({ kind, implementation }) => kind !== 'instance' || implementation !== undefined,
  ),
  invariant(
    ON,
    ['cpb-15', 'The kind capability has software and no implementation'],
    ({ kind, implementation, software }) =>
      kind !== 'capability' || (implementation === undefined && software !== undefined),
  ),
  invariant(
    ON,
    ['cpb-16', 'The kind requirements has neither implementation nor software'],
    ({ kind, implementation, software }) =>
      kind !== 'requirements' || (implementation === undefined && software === undefined),
  ),
]
