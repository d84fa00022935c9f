import {
  averageOver,
  posterior,
  tauQuantile,
} from '../../src/domain/development/tempo-posterior.ts'
import { type Observation, tauAt } from '../../src/domain/development/tempo-residual.ts'
import { RULES } from '../helpers/rules.ts'
import { type Figures, type Scenario, SCENARIOS, simulatedChildren } from './simulated-children.ts'

// Does the 90 % interval of the tempo hold the true tempo of 90 in 100 children? Children are drawn from
// the published model, seeded, seen at the visits of a scenario and estimated by the code of the service.
// First as in the published simulation: every milestone is looked at, every child is estimated, bias is
// that of the posterior mean. Then as the service does it: crawling counts only when it is seen, a child
// that has everything at the first visit gets an upper bound and no estimate, bias is that of the median.
// Of one true tempo the few children that get an estimate near a ceiling are the slow ones by chance, and
// their intervals hold it less often; over referred children as the prior has them they do.

const CHILDREN = { count: 1500, seed: 20260301 }
/** Beside the published simulation, which has as many children, so both err. */
const STANDARD_ERRORS = 3
/** Half of the last digit that is published. */
const ROUNDING = 0.0005
/** What the answers for referred children have to reach in every scenario. */
const WANTED = { low: 0.8, high: 0.97 }

interface Estimated {
  /** 1 when the interval holds the true tempo, else 0; the same for its upper end alone. */
  readonly held: number
  readonly underHigh: number
  readonly errorOfMean: number
  readonly errorOfMedian: number
  readonly width: number
}

function estimate(observations: readonly Observation[], tau: number, priorSd: number): Estimated {
  const { intervalLow, intervalHigh } = RULES.milestones
  const belief = posterior(observations, priorSd)
  const low = tauQuantile(belief, intervalLow)
  const high = tauQuantile(belief, intervalHigh)
  const taus = Float64Array.from(belief.mass, (_, index) => tauAt(belief.grid, index))
  return {
    held: tau >= low && tau <= high ? 1 : 0,
    underHigh: tau <= high ? 1 : 0,
    errorOfMean: averageOver(belief, taus) - tau,
    errorOfMedian: tauQuantile(belief, 0.5) - tau,
    width: high - low,
  }
}

interface Mean {
  readonly value: number
  readonly error: number
}

/** With its standard error. */
function meanOf(values: readonly number[]): Mean {
  const value = values.reduce((sum, one) => sum + one, 0) / values.length
  const squares = values.reduce((sum, one) => sum + (one - value) ** 2, 0)
  return { value, error: Math.sqrt(squares / (values.length - 1) / values.length) }
}

const write = (cells: readonly string[]) =>
  process.stdout.write(
    `${cells
      .map((cell) => cell.padEnd(29))
      .join(' ')
      .trimEnd()}\n`,
  )

/** Prints a row beside the published figures; true when they agree. */
function asPublished(scenario: Scenario, priorSd: number, published: Figures): boolean {
  const all = simulatedChildren(scenario, CHILDREN).map(({ observations, tau }) =>
    estimate(observations, tau, priorSd),
  )
  const cells = [
    { of: meanOf(all.map(({ held }) => held)), figure: published.coverage },
    { of: meanOf(all.map(({ errorOfMean }) => errorOfMean)), figure: published.bias },
    { of: meanOf(all.map(({ width }) => width)), figure: published.width },
  ].map(({ of: { value, error }, figure }) => {
    const limit = STANDARD_ERRORS * Math.SQRT2 * error + ROUNDING
    const agrees = Math.abs(value - figure) <= limit
    const text = `${value.toFixed(3)} (${figure.toFixed(3)} ±${limit.toFixed(3)})`
    return { agrees, text: agrees ? text : `${text} differs` }
  })
  write([scenario.name, `SD ${priorSd.toFixed(2)}`, ...cells.map(({ text }) => text)])
  return cells.every(({ agrees }) => agrees)
}

const counts = ({ milestone, to }: Observation) =>
  milestone !== 'hands-and-knees-crawling' || to !== null

const atCeiling = (observations: readonly Observation[]) =>
  observations.every(({ from, to }) => from === 0 && to !== null)

/** Prints a row for referred children as the service answers; true when the coverage will do. */
function asServed(scenario: Scenario): boolean {
  const answers = simulatedChildren(scenario, CHILDREN).map(({ tau, observations }) => {
    const counted = observations.filter(counts)
    const found = estimate(counted, tau, RULES.milestones.priorSdReferred)
    const bound = atCeiling(counted)
    return { ...found, bound, held: bound ? found.underHigh : found.held }
  })
  const estimated = answers.filter(({ bound }) => !bound)
  const said = ({ value, error }: Mean) =>
    `${value.toFixed(3)} ±${(STANDARD_ERRORS * error).toFixed(3)}`
  const coverage = meanOf(answers.map(({ held }) => held))
  const holds = coverage.value >= WANTED.low && coverage.value <= WANTED.high
  write([
    scenario.name,
    `${said(coverage)}${holds ? '' : ' outside'}`,
    `${said(meanOf(estimated.map(({ held }) => held)))} of ${estimated.length}`,
    said(meanOf(estimated.map(({ errorOfMedian }) => errorOfMedian))),
    said(meanOf(estimated.map(({ width }) => width))),
  ])
  return holds
}

const { count, seed } = CHILDREN
process.stdout.write(
  `${count} children a row, seed ${seed}; ± ${STANDARD_ERRORS} standard errors\n\n`,
)
write(['As the publication did', 'prior', 'coverage (published)', 'bias of tau', 'width'])
const agreeing = SCENARIOS.flatMap((scenario) =>
  scenario.published.map(([priorSd, published]) => asPublished(scenario, priorSd, published)),
)
process.stdout.write('\n')
write(['As the service answers', 'coverage', 'of those with an estimate', 'bias of tau', 'width'])
const covering = SCENARIOS.map(asServed)

const good = (rows: readonly boolean[]) => `${rows.filter(Boolean).length} of ${rows.length}`
process.stdout.write(
  `\n${good(agreeing)} rows agree with the publication; ` +
    `${good(covering)} scenarios have a coverage of ${WANTED.low} to ${WANTED.high}\n`,
)
if (![...agreeing, ...covering].every(Boolean)) process.exitCode = 1
