import { originOf } from '../fhir/smart-configuration.ts'
import type { IdentifyCdsClient } from '../services/cds-client.ts'
import { type Authenticate, bearerIn } from './authenticate.ts'

/**
 * Who calls a hook: whoever signed a JWT for the address that is called, as CDS Hooks has it; else the bearer
 * of an access token of ours.
 */
export const cdsAuthentication =
  (identify: IdentifyCdsClient, baseUrl: string, authenticate: Authenticate): Authenticate =>
  async (request) => {
    const token = bearerIn(request)
    if (token === undefined) return authenticate(request)
    const audience = `${originOf(baseUrl)}${request.url.split('?')[0] ?? ''}`
    return (await identify(token, audience)) ?? authenticate(request)
  }
