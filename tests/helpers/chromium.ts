import { existsSync } from 'node:fs'
import { type Browser, chromium } from 'playwright-core'

// Debian's Chromium, where it is installed. Tests that look at pictures and pages are skipped without it, and say so.

const PLACES = ['/usr/bin/chromium', '/usr/bin/chromium-browser', '/usr/bin/google-chrome']
const executablePath = PLACES.find((place) => existsSync(place))

export const HAS_CHROMIUM = executablePath !== undefined
if (!HAS_CHROMIUM) process.stdout.write('No Chromium here: what it would look at is skipped.\n')

/** Root in a container has no sandbox to give. */
export const openChromium = (): Promise<Browser> =>
  chromium.launch({
    ...(executablePath === undefined ? {} : { executablePath }),
    args: ['--no-sandbox', '--disable-dev-shm-usage'],
  })
