/** Statements of as many forms are prepared; what a caller makes up beyond that is planned each time. */
const MOST_FORMS = 500

/**
 * Names for statements that are built from what is asked, one per form: the database plans a form once per
 * connection.
 */
export function statementNames(prefix: string): (text: string) => string | undefined {
  const names = new Map<string, string>()
  return (text) => {
    const known = names.get(text)
    if (known !== undefined || names.size >= MOST_FORMS) return known
    const name = `${prefix}-${names.size}`
    names.set(text, name)
    return name
  }
}
