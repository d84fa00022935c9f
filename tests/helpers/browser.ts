import { existsSync } from 'node:fs'
import { type Browser, chromium } from 'playwright-core'

const CHROMIUM = '/usr/bin/chromium'

/** Undefined where there is no Chromium; a test says then why it is skipped. */
export async function startBrowser(): Promise<Browser | undefined> {
  if (!existsSync(CHROMIUM)) return undefined
  return chromium.launch({
    executablePath: CHROMIUM,
    args: ['--no-sandbox', '--headless', '--disable-dev-shm-usage'],
  })
}
