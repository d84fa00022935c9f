import { Call } from '../../src/security/call.ts'

/** A call of a service function that no request led to. */
export const newCall = (): Call =>
  new Call({
    interaction: 'read',
    action: 'R',
    request: 'test',
    address: '127.0.0.1',
    query: '',
    purpose: undefined,
  })
