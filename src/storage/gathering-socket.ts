import { Socket } from 'node:net'

type Written = (error?: Error | null) => void

/**
 * A connection that sends everything written in one turn of the event loop together. pg writes each statement by itself,
 * also those that are sent without waiting for each other; each write is a call of the system.
 */
export class GatheringSocket extends Socket {
  private gathering = false

  constructor() {
    super()
    // A socket that connects takes back the inherited `write` as its own property (Node's net.js).
    this.once('connect', () => Reflect.deleteProperty(this, 'write'))
  }

  override write(chunk: Uint8Array | string, written?: Written): boolean
  override write(chunk: Uint8Array | string, encoding?: BufferEncoding, written?: Written): boolean
  override write(
    chunk: Uint8Array | string,
    encoding?: BufferEncoding | Written,
    written?: Written,
  ): boolean {
    this.gather()
    return typeof encoding === 'function'
      ? super.write(chunk, encoding)
      : super.write(chunk, encoding, written)
  }

  private gather(): void {
    if (this.gathering) return
    this.gathering = true
    this.cork()
    setImmediate(() => {
      this.gathering = false
      this.uncork()
    })
  }
}
