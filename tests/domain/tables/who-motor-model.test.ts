import { expect, test } from 'vitest'
import { TEMPO_MODEL, WHO_MOTOR_MODEL } from '../../../src/domain/tables/who-motor-model.ts'

/** Own fit to the published percentiles: family, median in months, log SD or scale. */
test('the curves are the fitted ones', () => {
  expect(WHO_MOTOR_MODEL.curves).toEqual({
    'sitting-without-support': { family: 'log-normal', median: 5.871, spread: 0.19115 },
    'standing-with-assistance': { family: 'log-normal', median: 7.431, spread: 0.18551 },
    'hands-and-knees-crawling': { family: 'log-logistic', median: 8.331, spread: 0.10435 },
    'walking-with-assistance': { family: 'log-logistic', median: 9.027, spread: 0.09128 },
    'standing-alone': { family: 'log-logistic', median: 10.829, spread: 0.09677 },
    'walking-alone': { family: 'log-logistic', median: 12, spread: 0.08281 },
  })
})

/** Share of the log variance that a common tempo explains, published with the model, two digits. */
const SHARE_FROM_TEMPO = {
  'sitting-without-support': 0.463,
  'standing-with-assistance': 0.491,
  'hands-and-knees-crawling': 0.472,
  'walking-with-assistance': 0.617,
  'standing-alone': 0.549,
  'walking-alone': 0.749,
} as const

test('tempo and residual together make up the spread of every curve', () => {
  for (const [milestone, share] of Object.entries(SHARE_FROM_TEMPO) as [
    keyof typeof SHARE_FROM_TEMPO,
    number,
  ][]) {
    const { family } = WHO_MOTOR_MODEL.curves[milestone]
    const scaleToSd = family === 'log-normal' ? 1 : Math.PI / Math.sqrt(3)
    const residual = (TEMPO_MODEL.residualScale[milestone] * scaleToSd) ** 2
    const common = TEMPO_MODEL.tempoSd ** 2

    expect(common / (common + residual)).toBeCloseTo(share, 2)
  }
})
