import { z } from 'zod'
import { PROVENANCE } from './provenance.ts'
import { ONCE } from './sent-once.ts'

export const IfMatch = z.object({ 'if-match': z.string().max(200).optional() })
const IfNew = { 'if-none-match': z.string().max(200).optional() }
export const Create = z.object({
  'if-none-exist': z.string().min(1).max(1024).optional(),
  ...PROVENANCE,
  ...ONCE,
})
export const Update = IfMatch.extend({ ...IfNew, ...PROVENANCE })
