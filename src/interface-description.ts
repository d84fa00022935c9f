import { buildApp } from './app.ts'
import { AppError } from './errors.ts'
import { GENERIC_SIZE_CHART } from './domain/tables/generic-size-chart.ts'
import { shippedRuleSet, softwareName } from './service.ts'
import type { Database } from './storage/database.ts'

const unused = (): never => {
  throw new Error('The interface is described without a database')
}

const nobody = () => Promise.reject(new AppError('unauthenticated', 'There is nobody to call.'))

const NO_DATABASE: Database = {
  inClinic: unused,
  readingInClinic: unused,
  snapshotInClinic: unused,
  readInClinic: unused,
  callInClinic: unused,
  committed: unused,
  asOwner: unused,
  close: async () => {},
}

/** The OpenAPI description of the registered routes, as it is committed. */
export async function interfaceDescription(): Promise<string> {
  const app = await buildApp(
    {
      db: NO_DATABASE,
      audit: { sealing: unused, record: unused, recordAtOnce: unused, count: unused },
      checkpointKeys: { sign: unused, verify: unused, published: [] },
      copies: { copy: unused },
      now: unused,
      newId: unused,
      baseUrl: 'http://localhost:3000/fhir',
      cors: false,
      notifyOrigins: [],
      pageKey: new Uint8Array(),
      ruleSet: shippedRuleSet(),
      chart: GENERIC_SIZE_CHART,
      readRuleSet: unused,
      readChart: unused,
      language: 'en',
      software: softwareName(),
    },
    {
      authenticate: nobody,
      authenticateCds: nobody,
      requestToken: unused,
      publicKeys: unused,
      staff: { signIn: unused, member: unused, signOut: unused },
    },
  )
  await app.ready()
  const description = app.swagger()
  await app.close()
  return `${JSON.stringify(description, null, 2)}\n`
}
