import { SYSTEMS } from './codes.ts'
import type { Reference } from './r4/types.ts'

// Who asks and who is asked, where no resource of theirs is kept: by the name that the clinic has for them.

const organisation = (system: string, value: string): Reference => ({
  type: 'Organization',
  identifier: { system, value },
})

export const clinicReference = (clinicId: string): Reference =>
  organisation(SYSTEMS.clinic, clinicId)

export const partnerReference = (partnerId: string): Reference =>
  organisation(SYSTEMS.partner, partnerId)
