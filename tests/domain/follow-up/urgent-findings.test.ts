import { expect, test } from 'vitest'
import { fitCheckResult } from '../../../src/domain/follow-up/fit-check-result.ts'
import { urgentFindings, type WornAtVisit } from '../../../src/domain/follow-up/urgent-findings.ts'
import { speaker } from '../../../src/domain/messages/speaker.ts'
import { fitCheck } from '../../../src/domain/plan/fit-check.ts'
import { answers } from '../../helpers/fit-answers.ts'
import { AS_OF } from '../../helpers/plans.ts'
import { RULES } from '../../helpers/rules.ts'
import { DELIVERED, daysBefore, sign, worn } from '../../helpers/visits.ts'

const items = fitCheck(['left'], RULES)
const red = (minutes: number) => fitCheckResult(items, answers(items, { redness: minutes }), RULES)
const at = (known: Partial<WornAtVisit> = {}) =>
  urgentFindings(
    { deliveredOn: DELIVERED, asOf: AS_OF, devices: [worn()], fitCheck: 'unknown', ...known },
    RULES,
  )

test('nothing seen and nothing answered alarms nobody', () => {
  expect(at()).toEqual([])
})

/** NHS Fife, leaflet on ankle-foot orthoses for children: stop at once. */
const FIFE = ['swelling', 'pain', 'rash', 'blister', 'broken-skin', 'broken-device'] as const

test.each(FIFE)('%s that was seen is urgent, with its day and foot', (name) => {
  const found = at({ devices: [worn({ [name]: sign(true, 3) })] })

  expect(found).toMatchObject([{ sign: name, side: 'left', on: daysBefore(3) }])
})

test.each(FIFE)('%s that nobody looked for is no alarm', (name) => {
  expect(at({ devices: [worn({ [name]: 'unknown' })] })).toEqual([])
})

test('a sign from before the delivery is no sign of the device', () => {
  expect(at({ devices: [worn({ blister: sign(true, 85) })] })).toEqual([])
})

/**
 * How long redness may last: Royal National Orthopaedic Hospital about 20 minutes, NHS Fife 20 to 30,
 * Mersey Care and North Bristol 30. Longer than any of them allows is urgent.
 */
test.each([
  [20, 0],
  [30, 0],
  [30.5, 1],
])('redness of %d minutes: %i urgent findings', (minutes, count) => {
  expect(at({ fitCheck: red(minutes), fitCheckOn: AS_OF })).toHaveLength(count)
})

test('a fit check without its day is not told as one of today', () => {
  expect(at({ fitCheck: red(31) })).toEqual([])
})

test('the family is told to leave the support off and to call, in each language', () => {
  const [found] = at({ devices: [worn({ blister: sign(true) })] })
  if (found === undefined) throw new Error('Nothing was found')

  expect(speaker('en').family(found.because)).toContain('leave the support for the left foot off')
  expect(speaker('es').family(found.because)).toContain('pie izquierdo')
})
