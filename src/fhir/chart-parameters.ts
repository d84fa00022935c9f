import type { Fault } from '../errors.ts'
import { PICTURE_KINDS, type PictureKind } from '../pictures/picture.ts'
import { isObject, valuesAt } from './element.ts'
import { type InAddress, type ParameterRow, readingOf } from './operation-parameters.ts'

const FORM = `one of ${PICTURE_KINDS.join(', ')}`

const KIND: ParameterRow<PictureKind> = {
  name: 'kind',
  element: 'valueCode',
  read: (text) => {
    const kind = PICTURE_KINDS.find((one) => one === text)
    if (kind === undefined) throw new RangeError('no such picture')
    return kind
  },
  form: FORM,
}

/** Which picture is wanted. It has to be said. */
export function chartKind(
  inAddress: InAddress,
  body: unknown,
):
  | { readonly ok: true; readonly kind: PictureKind }
  | { readonly ok: false; readonly fault: Fault } {
  const inBody = isObject(body) ? valuesAt(body, 'parameter') : []
  const reading = readingOf(KIND, { inAddress, inBody })
  if (!reading.ok) return reading
  if (reading.value !== undefined) return { ok: true, kind: reading.value }
  const text = `kind is needed: ${FORM}.`
  const fault = { severity: 'error', code: 'required', expression: 'http.kind', text } as const
  return { ok: false, fault: { ...fault, rule: 'operation-parameter' } }
}
