export interface Repeated {
  /** Returns when what is being done has ended; nothing is begun after it. */
  readonly stop: () => Promise<void>
}

/** Does something every so often, never twice at once; the process does not live for its sake. */
export function repeated(everyMs: number, work: () => Promise<void>): Repeated {
  let isStopped = false
  let timer: NodeJS.Timeout | undefined
  let running: Promise<void> = Promise.resolve()
  const later = (): void => {
    if (isStopped) return
    timer = setTimeout(() => {
      running = work().then(later)
    }, everyMs).unref()
  }
  later()
  return {
    stop: async () => {
      isStopped = true
      clearTimeout(timer)
      await running
    },
  }
}
