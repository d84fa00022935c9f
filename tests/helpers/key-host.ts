import { createServer } from 'node:http'
import { z } from 'zod'

// Where an invented records system publishes its keys, on loopback.

export interface KeyHost {
  readonly origin: string
  readonly set: (path: string, text: string) => void
  readonly close: () => Promise<void>
}

export async function keyHost(): Promise<KeyHost> {
  const texts = new Map<string, string>()
  const server = createServer(({ url = '' }, response) => {
    const text = texts.get(url)
    response.writeHead(text === undefined ? 404 : 200).end(text)
  })
  await new Promise<void>((listening) => server.listen(0, '127.0.0.1', listening))
  const { port } = z.object({ port: z.number() }).parse(server.address())
  return {
    origin: `http://127.0.0.1:${port}`,
    set: (path, text) => void texts.set(path, text),
    close: () => new Promise((closed) => server.close(() => closed())),
  }
}
