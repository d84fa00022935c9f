import { expect, test } from 'vitest'
import {
  copyOfDeleted,
  copyOfType,
  copySettings,
  type ExportScope,
} from '../../src/storage/export-files.ts'

const SCOPE: ExportScope = {
  clinicId: '0b5c9a53-8df6-4c5a-9d2e-6f1f6a0f1c11',
  at: '2026-03-02T09:00:00.000Z',
  since: '2026-03-01T09:00:00.000Z',
  patients: undefined,
}

test.each([
  ['a type', () => copyOfType(SCOPE, `Patient' or 'a`)],
  ['a type of what was deleted', () => copyOfDeleted(SCOPE, ['Patient', `';`])],
  ['a clinic', () => copyOfType({ ...SCOPE, clinicId: `'` }, 'Patient')],
  ['an instant', () => copyOfType({ ...SCOPE, at: `now'` }, 'Patient')],
  ['a beginning', () => copyOfType({ ...SCOPE, since: 'a b' }, 'Patient')],
  ['nothing at all', () => copyOfType(SCOPE, '')],
])('%s that could end a text stands in no statement', (_, statement) => {
  expect(statement).toThrow('This cannot stand in a statement')
})

test('the patients of a group stand in a setting, never in the statement', () => {
  const scope = { ...SCOPE, patients: ['one', `it's`] }

  expect(copyOfType(scope, 'Patient')).not.toContain(`it's`)
  expect(copySettings(scope)).toEqual({ 'app.export_patients': `one,it's` })
})
