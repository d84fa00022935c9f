import { createServer } from 'node:net'
import { type Service, type ServiceOptions, openService } from './service.ts'

interface Settings extends Omit<ServiceOptions, 'databaseUrl' | 'origin' | 'logger' | 'now'> {
  readonly host: string
  /** 0: any port that is free. */
  readonly port: number
  /** Where callers reach the service; nothing: where it listens. */
  readonly baseUrl: string | undefined
}

/** Where callers reach the service. */
export function originOf(
  { host, baseUrl }: Pick<Settings, 'host' | 'baseUrl'>,
  port: number,
): string {
  const shown = host.includes(':') ? `[${host}]` : host
  return baseUrl ?? `http://${shown}:${port}`
}

/** Opens the service on a database and listens. */
export async function listeningService(
  settings: Settings,
  databaseUrl: string,
  options: Pick<ServiceOptions, 'logger' | 'now'> = {},
): Promise<Service & { readonly origin: string }> {
  const { host } = settings
  const port = settings.port === 0 ? await freePort(host) : settings.port
  const origin = originOf(settings, port)
  const service = await openService({ ...settings, ...options, databaseUrl, origin })
  try {
    await service.app.listen({ host, port })
    return { ...service, origin }
  } catch (error) {
    await service.close()
    throw error
  }
}

/** The address is part of every answer, so the port must be known before the service is assembled. */
function freePort(host: string): Promise<number> {
  return new Promise((resolve, reject) => {
    const probe = createServer()
    probe.once('error', reject)
    probe.listen(0, host, () => {
      const address = probe.address()
      probe.close(() => {
        if (address !== null && typeof address === 'object') resolve(address.port)
        else reject(new Error('No free port was found'))
      })
    })
  })
}
