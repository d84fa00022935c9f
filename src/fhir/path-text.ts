/** Names that can stand in an expression as they are: those of FHIR elements look like this. */
const ELEMENT_NAME = /^_?[A-Za-z][A-Za-z0-9]{0,63}$/

/**
 * Simple FHIRPath of a place: `['Bundle', 'entry', 3, 'resource']` as `Bundle.entry[3].resource`.
 *
 * A name that no element could have may be anything a client wrote, also a child's name. It ends
 * the expression at the object that holds it.
 */
export function pathText(steps: readonly (string | number)[], root = ''): string {
  let text = root
  for (const step of steps) {
    if (typeof step === 'number') text += `[${step}]`
    else if (!isElementName(step)) return text
    else text += text === '' ? step : `.${step}`
  }
  return text
}

export function isElementName(name: string): boolean {
  return ELEMENT_NAME.test(name)
}
