/** The parts of a record that can make it impossible to compute anything. */
export type ImplausibleElement =
  | 'birthDate'
  | 'gestation'
  | 'asOf'
  | 'milestoneChecks'
  | 'skillChecks'

/**
 * Thrown when a record cannot be true of any child, so that every answer would be wrong.
 *
 * Names the element and never its value: the text may reach a log.
 */
export class ImplausibleRecord extends Error {
  override readonly name = 'ImplausibleRecord'
  readonly element: ImplausibleElement

  constructor(element: ImplausibleElement, message: string) {
    super(message)
    this.element = element
  }
}
