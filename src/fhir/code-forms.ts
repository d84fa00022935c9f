export interface CodeForm {
  readonly pattern: RegExp
  /** What would be right, to complete "must be …". */
  readonly right: string
}

const NAME = '[A-Za-z0-9][A-Za-z0-9!#$&^_.+-]{0,126}'
const TOKEN = "[A-Za-z0-9!#$%&'*+.^_`{|}~-]+"
const SUBTAGS = [
  // A language, with what it is extended by (RFC 5646 2.2.1, 2.2.2).
  '(?:[a-z]{2,3}(?:-[a-z]{3}){0,3}|[a-z]{4,8})',
  // A script, a region, variants, extensions, private use (2.2.3 to 2.2.7).
  '(?:-[a-z]{4})?',
  '(?:-(?:[a-z]{2}|[0-9]{3}))?',
  '(?:-(?:[a-z0-9]{5,8}|[0-9][a-z0-9]{3}))*',
  '(?:-[0-9a-wyz](?:-[a-z0-9]{2,8})+)*',
  '(?:-x(?:-[a-z0-9]{1,8})+)?',
].join('')
/** Registered before there was a form (2.2.8). */
const IRREGULAR =
  'en-gb-oed|i-(?:ami|bnn|default|enochian|hak|klingon|lux|mingo|navajo|pwn|tao|tay|tsu)|sgn-(?:be-fr|be-nl|ch-de)'

/** What codes of a value set look like that is too large to be listed, by its key in the definitions. */
export const CODE_FORMS: Readonly<Record<string, CodeForm>> = {
  // BCP 13: RFC 6838 4.2, with the parameters of RFC 2045 5.1.
  mimetypes: {
    pattern: new RegExp(`^${NAME}/${NAME}(?: ?; ?${TOKEN}=(?:${TOKEN}|"(?:[^"\\\\]|\\\\.)*"))*$`),
    right: 'a media type, as text/plain or application/pdf (BCP 13)',
  },
  // BCP 47: RFC 5646 2.1.
  'all-languages': {
    pattern: new RegExp(`^(?:${SUBTAGS}|x(?:-[a-z0-9]{1,8})+|${IRREGULAR})$`, 'i'),
    right: 'a language, as de or es-MX (BCP 47)',
  },
}
