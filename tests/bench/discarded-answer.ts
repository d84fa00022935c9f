import { connect } from 'node:net'

const BUFFER_BYTES = 262_144
const END_OF_HEAD = '\r\n\r\n'

/**
 * Asks for something long over HTTP/1.1 and throws it away as it comes, with as little as the protocol needs: the
 * client must not be what is measured.
 *
 * @returns how many bytes the body had
 */
export function discardedAnswer(url: string, token: string): Promise<number> {
  const { hostname, port, host, pathname } = new URL(url)
  return new Promise((resolve, reject) => {
    let head = ''
    let body: Chunks | undefined
    const take = (bytes: Buffer): void => {
      if (body !== undefined) return body.take(bytes)
      const known = head.length
      head += bytes.toString('latin1')
      const end = head.indexOf(END_OF_HEAD)
      if (end < 0) return
      if (!/^HTTP\/1\.1 200 .*\r\ntransfer-encoding: chunked/is.test(head))
        throw new Error(`Not a long answer: ${head.slice(0, end)}`)
      body = new Chunks()
      body.take(bytes.subarray(end + END_OF_HEAD.length - known))
    }
    const socket = connect({
      host: hostname,
      port: Number(port),
      onread: {
        buffer: Buffer.alloc(BUFFER_BYTES),
        callback: (length, buffer) => {
          try {
            take(Buffer.from(buffer.buffer, buffer.byteOffset, length))
            if (body?.isWhole === true) {
              socket.destroy()
              resolve(body.bytes)
            }
          } catch (error) {
            socket.destroy()
            reject(error)
          }
          return true
        },
      },
    })
    socket.on('error', reject)
    socket.on('close', () => reject(new Error('The answer was cut off')))
    socket.write(
      `GET ${pathname} HTTP/1.1\r\nHost: ${host}\r\nAuthorization: Bearer ${token}\r\n\r\n`,
    )
  })
}

/** The frames of a chunked body (RFC 9112, 7.1), counted and thrown away; there are no trailers. */
class Chunks {
  bytes = 0
  isWhole = false
  private left = 0
  private frame = ''

  take(bytes: Buffer): void {
    let at = 0
    while (at < bytes.length && !this.isWhole) {
      if (this.left > 0) {
        const part = Math.min(this.left, bytes.length - at)
        this.left -= part
        at += part
        continue
      }
      this.frame += String.fromCharCode(bytes[at] ?? 0)
      at += 1
      const size = /^(?:\r\n)?([0-9a-f]+)\r\n$/i.exec(this.frame)?.[1]
      if (size === undefined) continue
      this.frame = ''
      this.left = Number.parseInt(size, 16)
      this.bytes += this.left
      this.isWhole = this.left === 0
    }
  }
}
